"""Makes contact.json: reference values for motion/contact, from their definitions in 50-digit decimal arithmetic.

Run with the Python named in the result:  python3 contact.py > contact.json
crown: height of a string over the plane through the outer strings, sqrt(R^2 - y^2) - sqrt(R^2 - y1^2).
share: exact 95 % interval of Clopper and Pearson (Biometrika 26 (1934) 404-413) for k of n: the p at which the binomial tails
P(X >= k) and P(X <= k) are 0.025, by bisection of the tails summed term by term.
"""
import json
import platform
import sys
from decimal import Decimal, getcontext
from math import comb

getcontext().prec = 50


def crown(radius, y, outer):
    return float((radius * radius - y * y).sqrt() - (radius * radius - outer * outer).sqrt())


crowns = []
for radius, number, spacing in [("184", 6, "10.4"), ("241", 6, "10.5"), ("305", 7, "10"), ("508", 4, "12"), ("254", 8, "9.2")]:
    r, d = Decimal(radius), Decimal(spacing)
    outer = Decimal(number - 1) / 2 * d
    heights = [crown(r, (Decimal(number + 1) / 2 - k) * d, outer) for k in range(1, number + 1)]
    crowns.append({"radius": float(r), "number": number, "spacing": float(d), "heights": heights})


def upto(k, n, p):
    """P(X <= k)."""
    return sum((comb(n, i) * p**i * (1 - p) ** (n - i) for i in range(k + 1)), Decimal(0))


def bisect(f):
    """The root of a falling f in (0, 1)."""
    lo, hi = Decimal(0), Decimal(1)
    for _ in range(90):
        mid = (lo + hi) / 2
        lo, hi = (mid, hi) if f(mid) > 0 else (lo, mid)
    return float(lo)


tail = Decimal("0.025")
shares = []
for k, n in [(0, 20), (1, 20), (3, 150), (10, 160), (80, 160), (159, 160), (160, 160)]:
    low = 0.0 if k == 0 else bisect(lambda p: tail - (1 - upto(k - 1, n, p)))
    high = 1.0 if k == n else bisect(lambda p: upto(k, n, p) - tail)
    shares.append({"k": k, "n": n, "low": low, "high": high})

json.dump({"made_with": "Python " + platform.python_version(), "crown": crowns, "share": shares}, sys.stdout, indent=1)
print()
