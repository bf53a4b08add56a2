"""Holds the turning of degrees into grid metres, and back, against general libraries.

Reads from its input, as JSON, what the program made of points: under "there" rows of latitude,
longitude, easting, northing, under "back" rows of easting, northing, latitude, longitude. Prints
as JSON how far off they are, in metres. Knows the geodesy only: pyproj turns by the published
seven numbers, and convertbng by the survey's own table of small shifts (OSTN15).
"""

import json
import sys

import numpy
import pyproj
from convertbng.cutil import convert_bng
from pyproj.transformer import TransformerGroup

# The survey's seven numbers and projection, step by step, so that no table can slip in.
PLAIN = (
    "+proj=pipeline +step +proj=unitconvert +xy_in=deg +xy_out=rad "
    "+step +proj=cart +ellps=WGS84 "
    "+step +proj=helmert +convention=position_vector +x=-446.448 +y=125.157 +z=-542.060 "
    "+rx=-0.1502 +ry=-0.2470 +rz=-0.8421 +s=20.4894 "
    "+step +inv +proj=cart +ellps=airy "
    "+step +proj=tmerc +lat_0=49 +lon_0=-2 +k=0.9996012717 +x_0=400000 +y_0=-100000 +ellps=airy"
)


def main():
    told = json.load(sys.stdin)
    latitude, longitude, east, north = numpy.array(told["there"]).T
    plain = pyproj.Transformer.from_pipeline(PLAIN)
    x, y = plain.transform(longitude, latitude)
    there = numpy.hypot(x - east, y - north)
    # Where the table of shifts has no land or sea near, it gives no number.
    official = [numpy.array(part) for part in convert_bng(longitude, latitude)]
    off = numpy.hypot(official[0] - east, official[1] - north)
    off = off[numpy.isfinite(off)]
    east, north, latitude, longitude = numpy.array(told["back"]).T
    x, y = plain.transform(east, north, direction="INVERSE")
    along = (x - longitude) * 111_320 * numpy.cos(numpy.radians(latitude))
    back = numpy.hypot(along, (y - latitude) * 111_320)
    group = TransformerGroup("EPSG:4326", "EPSG:27700", always_xy=True)
    json.dump(
        {
            "there": len(there),
            "there_worst_m": float(there.max()),
            "back": len(back),
            "back_worst_m": float(back.max()),
            "official": len(off),
            "official_median_m": float(numpy.median(off)),
            "official_95_m": float(numpy.quantile(off, 0.95)),
            "official_worst_m": float(off.max()),
            "pyproj": pyproj.__version__,
            "pyproj_has_the_table": bool(group.best_available),
        },
        sys.stdout,
    )


main()
