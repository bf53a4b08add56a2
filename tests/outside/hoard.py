"""Works out the aoristic sum and the shared law of dates of groups for itself, with numpy.

Reads from its input, as JSON, groups: rows of first year, last year and count; the line of years
that the program chose (first position, width of a step); the sum, the law and the logarithm of its
likelihood that it found. Prints as JSON how far off they are at most. Knows no coin: a year BC
stands one lower on the line than its figure, as there is no year 0. The law is found from its
definition, with whole matrices: shares of each row by the law, their mean, three years of
smoothing by a kernel of 1-2-1, until nothing moves.
"""

import json
import sys

import numpy

SMOOTHED = 3.0
STEPS = 300
SETTLED = 1e-7


def place(year):
    return year + 1 if year < 0 else year


def evidence(rows, first, width, bins):
    """Each row's share of each step, even over its years."""
    shares = numpy.zeros((len(rows), bins))
    for at, (start, end, _) in enumerate(rows):
        years = numpy.arange(place(start), place(end) + 1)
        steps = (years - first) // width
        inside = (steps >= 0) & (steps < bins)
        numpy.add.at(shares[at], steps[inside], 1.0 / len(years))
    return shares


def kernel(bins, width):
    passes = min(int(numpy.floor(2 * (SMOOTHED / width) ** 2 + 0.5)), 60)
    once = numpy.zeros((bins, bins))
    for at in range(bins):
        once[at, at] += 0.5
        once[max(at - 1, 0), at] += 0.25
        once[min(at + 1, bins - 1), at] += 0.25
    return numpy.linalg.matrix_power(once, passes)


def law(shares, counts, smooth):
    found = numpy.full(shares.shape[1], 1.0 / shares.shape[1])
    for _ in range(STEPS):
        joint = shares * found
        each = joint / joint.sum(axis=1, keepdims=True)
        new = smooth @ (counts @ each / counts.sum())
        new /= new.sum()
        moved = numpy.abs(new - found).max()
        found = new
        if moved < SETTLED:
            break
    return found, float(counts @ numpy.log(shares @ found))


def main():
    groups = json.load(sys.stdin)["groups"]
    off = {"sum": 0.0, "law": 0.0, "log_likelihood": 0.0}
    for group in groups:
        rows, bins = group["rows"], len(group["sum"])
        counts = numpy.array([row[2] for row in rows], dtype=float)
        shares = evidence(rows, group["first"], group["width"], bins)
        found, fits = law(shares, counts, kernel(bins, group["width"]))
        for name, own in [("sum", counts @ shares), ("law", found), ("log_likelihood", fits)]:
            gap = float(numpy.abs(own - numpy.array(group[name])).max())
            off[name] = max(off[name], gap)
    json.dump({"groups": len(groups), **off}, sys.stdout)


main()
