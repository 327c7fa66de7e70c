#!/usr/bin/env python3
"""Reference values for trajectory/tracks/internal/c3d, written to c3d.json.

Reals are taken apart with math.frexp, and files are put together byte by byte,
from the C3D user guide (c3d.org): header, parameter section, 3D point data
section. Nothing but the standard library is used, and no reader of C3D files.

    python3 c3d.py > c3d.json
"""
import json
import math
import struct

INTEL, DEC, MIPS = 84, 85, 86


def dec_real(v):
    """VAX F floating: word 0 is sign, exponent + 128, upper fraction; word 1
    is the lower fraction; 0.5 <= fraction < 1 with its first bit left out."""
    if v == 0:
        return b"\0\0\0\0"
    f, e = math.frexp(abs(v))
    m = round(f * 2**24)
    if m == 2**24:
        m, e = 2**23, e + 1
    m -= 2**23
    sign = 1 if v < 0 else 0
    return struct.pack("<HH", sign << 15 | (e + 128) << 7 | m >> 16, m & 0xFFFF)


def real(order, v):
    if order == DEC:
        return dec_real(v)
    return struct.pack(">f" if order == MIPS else "<f", v)


def word(order, v):
    return struct.pack(">H" if order == MIPS else "<H", v & 0xFFFF)


def parameter(order, group, name, kind, dims, data, text=b"", locked=False, last=False):
    n = len(name)
    body = struct.pack("bB", kind, len(dims)) + bytes(dims) + data + bytes([len(text)]) + text
    step = 0 if last else 2 + len(body)
    return struct.pack("bb", -n if locked else n, group) + name + word(order, step) + body


def group(order, number, name, text=b""):
    return struct.pack("bb", len(name), -number) + name + word(order, 3 + len(text)) + bytes([len(text)]) + text


# Three frames of two points; None is a point that was not seen. Reals are
# binary fractions, so that they are the same in every format.
FRAMES = [
    [(1.0, -1.0, 0.5), (50.0, 200.0, -0.25)],
    [None, (51.5, 201.25, -0.375)],
    [(1.25, -2.5, 1000.0), (-320.0, 0.0, 640.0)],
]
INT_FRAMES = [  # in steps of 1/32
    [(32, -32, 16), (1600, 6400, -8)],
    [None, (1648, 6440, -12)],
    [(40, -80, 32000), (-10240, 0, 20480)],
]
SCALE = 1 / 32
RATE, FIRST = 59.94, 7
ANALOG, SAMPLES = 3, 2  # channels, samples a frame


def c3d(order, reals):
    scale = -SCALE if reals else SCALE
    frames = FRAMES if reals else INT_FRAMES
    head = bytes([2, 0x50])
    head += word(order, 2) + word(order, ANALOG * SAMPLES) + word(order, FIRST) + word(order, FIRST + len(frames) - 1)
    head += word(order, 10) + real(order, scale) + word(order, 4) + word(order, SAMPLES) + real(order, RATE)
    head = head.ljust(512, b"\0")
    # A parameter before its group, a locked one, one with a description, and
    # the one of the guide: the group POINT with "3-D point parameters".
    p = bytes([1, 0x50, 2, order])
    p += parameter(order, 1, b"USED", 2, [], word(order, 2), locked=True)
    p += group(order, 1, b"POINT", b"3-D point parameters")
    p += parameter(order, 1, b"FRAMES", 2, [], word(order, len(frames)))
    p += parameter(order, 1, b"RATE", 4, [], real(order, RATE), b"Video", locked=True)
    p += parameter(order, 1, b"SCALE", 4, [1], real(order, scale))
    p += parameter(order, 1, b"DATA_START", 2, [], word(order, 4))
    p += parameter(order, 1, b"UNITS", -1, [4], b"mm  ")
    p += parameter(order, 1, b"LABELS", -1, [6, 2], b"tip   wrist ")
    p += group(order, 5, b"ANALOG")
    p += parameter(order, 5, b"RATE", 4, [], real(order, RATE * SAMPLES))
    p += parameter(order, 5, b"OFFSET", 2, [ANALOG], word(order, 0) * ANALOG)
    p += parameter(order, 5, b"USED", 2, [], word(order, ANALOG), last=True)
    p = p.ljust(1024, b"\0")
    data = b""
    put = real if reals else word
    for i, points in enumerate(frames):
        for k, xyz in enumerate(points):
            if xyz is None:
                data += put(order, 0) * 3 + put(order, -1)
                continue
            for v in xyz:
                data += put(order, v)
            data += put(order, 3 << 8 | 12 + k)  # two cameras, a residual
        for j in range(ANALOG * SAMPLES):
            data += put(order, 100 * i + j)
    data = data.ljust(-(-len(data) // 512) * 512, b"\0")
    return head + p + data


def main():
    values = [1, -1, 0.5, 50, 0.1, 123.456, -0.0123, 1e6, 200, 0, 3.4e38, 2.0**-126]
    rows = []
    for v in values:
        exact = struct.unpack("<f", struct.pack("<f", v))[0]
        row = {"value": exact.hex(), "intel": struct.pack("<f", v).hex(), "mips": struct.pack(">f", v).hex()}
        if abs(exact) < 2.0**127:
            row["dec"] = dec_real(exact).hex()
        rows.append(row)
    # Beyond the range of an IEEE real, or below it.
    rows += [
        {"value": (2.0**126 * 1.5).hex(), "dec": dec_real(2.0**126 * 1.5).hex()},
        {"value": (2.0**-128).hex(), "dec": dec_real(2.0**-128).hex()},
        {"value": (2.0**-127 * 1.25).hex(), "dec": dec_real(2.0**-127 * 1.25).hex()},
    ]
    files = []
    for order, name in [(INTEL, "intel"), (DEC, "dec"), (MIPS, "mips")]:
        for reals in (False, True):
            files.append({"name": name + (" reals" if reals else " integers"), "hex": c3d(order, reals).hex()})
    json.dump({
        "source": "c3d.py, Python standard library, from the C3D user guide (c3d.org)",
        "reals": rows, "files": files, "frames": FRAMES,
        "points": ["tip", "wrist"], "unit": "mm", "rate": RATE, "first": FIRST,
    }, __import__("sys").stdout, indent=1)
    print()


main()
