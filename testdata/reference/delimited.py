"""Makes delimited.json: cells of delimited text and values of decimal numbers.

Cells: the examples of RFC 4180, section 2 (Shafranovich 2005), and more of the
same kind, split by Python's csv module (strict, default dialect).

Numbers: the nearest float64 of decimals that are hard to read (chosen from
memory: halfway cases, the ends of the range, the bounds of a fast path) and of
decimals drawn at random. The value is Python's float(), which rounds correctly (Gay's
strtod), checked here against exact rational arithmetic, and written in
hexadecimal.

    /usr/bin/python3 delimited.py > delimited.json
"""

import csv
import fractions
import io
import json
import random
import sys


def rows(text):
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


TEXTS = [
    ("section 2, rule 1", "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
    ("section 2, rule 2", "aaa,bbb,ccc\r\nzzz,yyy,xxx"),
    ("section 2, rule 3", "field_name,field_name,field_name\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"),
    ("section 2, rule 4", "aaa,bbb,ccc"),
    ("section 2, rule 5", '"aaa","bbb","ccc"\r\nzzz,yyy,xxx'),
    ("section 2, rule 6", '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx'),
    ("section 2, rule 7", '"aaa","b""bb","ccc"'),
    ("empty cell in the middle", "a,,c"),
    ("empty cells in quotes", '"",""\n,\n'),
    ("separator in quotes", '"a,b",c\n'),
    ("quotes only", '"""",""""""\n'),
    ("line feeds", "a,b\nc,d\n"),
    ("quote within a cell", 'a"b,c"d"\n'),
]

NUMBERS = [
    # Scaling by a rounded power of ten goes wrong.
    "1.448997445238699", "6929495644600919.5", "3.7e-1", "1e23",
    # Near halfway between two float64.
    "9007199254740993", "9007199254740992", "9007199254740991", "9007199254740993.0000000000000000001",
    "1.00000000000000011102230246251565404236316680908203125",
    "1.00000000000000011102230246251565404236316680908203124",
    "1.00000000000000011102230246251565404236316680908203126",
    # Ends of the range of IEEE 754 binary64.
    "1.7976931348623157e308", "2.2250738585072014e-308", "2.2250738585072011e-308", "4.9406564584124654e-324",
    "2.4703282292062327e-324", "2.4703282292062328e-324", "1e-400",
    # The bounds of the fast path: 15 to 19 digits, powers up to 22.
    "999999999999999e22", "999999999999999e-22", "999999999999999e23", "999999999999999e-23",
    "9999999999999999", "99999999999999999", "999999999999999999", "9999999999999999999", "99999999999999999999",
    "0.000000000000000000001", "0.0000000000000000000001", "0.00000000000000000000001",
    "123456789012345.6", "12345678901234567.8", "0.1234567890123456789012", "000000000000000000000000000001.5",
    "-0", "-0.0", "0e99999", "0.1", "0.2", "0.3", "1.", ".5", "+2.5",
]


def main():
    rng = random.Random(4180)
    numbers = list(NUMBERS)
    for _ in range(300):
        digits = rng.randint(1, 21)
        body = str(rng.randint(0, 10**digits - 1))
        cut = rng.randint(0, len(body))
        text = body[:cut] + "." + body[cut:]
        if rng.random() < 0.3:
            text += "e%d" % rng.randint(-30, 30)
        numbers.append(rng.choice(["", "-"]) + text)
    values = []
    for text in numbers:
        v = float(text)
        exact = fractions.Fraction(text if not text.endswith(".") else text + "0")
        nearest = exact.numerator / exact.denominator  # int / int rounds correctly
        assert v == nearest, text
        values.append({"text": text, "value": v.hex()})
    json.dump(
        {
            "source": "Python %s, csv and float" % sys.version.split()[0],
            "cells": [{"name": n, "text": t, "rows": rows(t)} for n, t in TEXTS],
            "numbers": values,
        },
        sys.stdout, indent=1,
    )
    print()


main()
