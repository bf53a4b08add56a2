"""Reads the linked data and the EpiDoc of a draft with general libraries and prints what it found as JSON."""

import json
import sys
import xml.etree.ElementTree as tree
from pathlib import Path

from rdflib import Graph, Namespace

NMO = Namespace("http://nomisma.org/ontology#")
REC = Namespace("urn:x-lynchet:record#")

folder = Path(sys.argv[1])
graph = Graph().parse(folder / "one.jsonld", format="json-ld")


def one(prop, of=None):
    return str(next(graph.objects(of, prop)))


finds = list(graph.subjects(NMO.hasWeight))
assert len(finds) == 1, finds
face = next(graph.objects(finds[0], NMO.hasObverse))
parts = tree.parse(folder / "one.xml").iter("{http://www.tei-c.org/ns/1.0}div")
json.dump(
    {
        "weight": one(NMO.hasWeight, finds[0]),
        "axis": one(NMO.hasAxis, finds[0]),
        "material": one(NMO.hasMaterial, finds[0]),
        "wear": one(NMO.hasWear, finds[0]),
        "legend": one(NMO.hasLegend, face),
        "square": one(REC.squareSideInMetres),
        "parts": sum(1 for part in parts if part.get("type") == "textpart"),
    },
    sys.stdout,
)
