"""Holds a Data Package against the standards and prints as JSON what was found.

Reads the folder named and changes nothing. Knows the open standards only: every
table is read, its cells, keys and links are checked, and its file's size and sum.
"""

import json
import sys

from frictionless import Package, system


def main(folder):
    with system.use_context(trusted=True):
        report = Package(f"{folder}/datapackage.json").validate()
    faults = [{"table": None, "kind": error.type, "what": error.message} for error in report.errors]
    rows = {}
    for task in report.tasks:
        rows[task.name] = task.stats.get("rows")
        faults += [
            {"table": task.name, "kind": error.type, "what": error.message}
            for error in task.errors
        ]
    json.dump({"valid": report.valid, "rows": rows, "faults": faults}, sys.stdout)


main(sys.argv[1])
