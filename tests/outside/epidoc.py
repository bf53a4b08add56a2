"""Holds EpiDoc against its published schema (RELAX NG) and prints as JSON what was found.

Takes the schema and the document; changes nothing. A copy that is spoilt on purpose is held
against it too, so that a schema that takes anything is noticed.
"""

import copy
import json
import sys

from lxml import etree

TEI = "{http://www.tei-c.org/ns/1.0}"

schema = etree.RelaxNG(etree.parse(sys.argv[1]))
document = etree.parse(sys.argv[2])
valid = schema.validate(document)
faults = [] if valid else [f"line {one.line}: {one.message}" for one in schema.error_log][:20]

spoilt = copy.deepcopy(document)
next(spoilt.iter(TEI + "ab")).set("colour", "red")
json.dump(
    {
        "faults": faults,
        "spoilt_is_refused": not schema.validate(spoilt),
        "elements": sum(1 for _ in document.iter()),
    },
    sys.stdout,
)
