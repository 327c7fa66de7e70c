"""Makes circular_scipy.json: the exact V test and the moments of circular data with scipy and mpmath.

Run with the versions named in the result:  /usr/bin/python3 circular_scipy.py > circular_scipy.json
The probability that n directions spread evenly reach v along a given one is Gil-Pelaez' integral,
1/2 - (1/pi) int_0^inf J0(t)^n sin(tv)/t dt, taken between the zeros of J0. Kappa comes from the exact root of A1.
"""
import json
import math
import sys

import mpmath as mp
import numpy as np
import scipy
from scipy import optimize, special

mp.mp.dps = 25


def exact(v, n):
    total = mp.mpf(0)
    edges = [0] + [mp.besseljzero(0, k) for k in range(1, 60 if n > 7 else 300)]
    for a, b in zip(edges, edges[1:]):
        total += mp.quad(lambda t: mp.besselj(0, t) ** n * mp.sin(t * v) / t, [a, (a + b) / 2, b])
    return float(mp.mpf(1) / 2 - total / mp.pi)


vs = [(2.0, 6), (3.1, 5), (4.5, 8), (9.497611926, 10), (-1.2, 9), (0.3, 7), (15.0, 40), (6.0, 100)]
sets = {"roulette": (1, [43, 45, 52, 61, 75, 88, 88, 279, 357]), "trees": (1, [45, 55, 81, 96, 110, 117, 132, 154]),
        "zar 27.2": (1, [66, 75, 86, 88, 88, 93, 97, 101, 118, 130]),
        "zar 26.7": (2, [35, 40, 40, 45, 45, 55, 60, 215, 220, 225, 225, 235, 235, 240, 245])}
rows = []
for name, (fold, deg) in sets.items():
    t = np.radians(deg) * fold
    n = len(t)
    z = np.mean(np.exp(1j * t))
    r, mean = abs(z), math.atan2(z.imag, z.real)
    rho2 = float(np.mean(np.cos(2 * (t - mean))))
    kappa = optimize.brentq(lambda k: special.ive(1, k) / special.ive(0, k) - r, 1e-9, 1e4, xtol=1e-13, rtol=1e-14)
    small = max(0, kappa - 2 / (n * kappa)) if kappa < 2 else (n - 1) ** 3 * kappa / (n ** 3 + n)
    rows.append({"name": name, "axes": fold == 2, "deg": deg, "rho2": rho2, "dispersion": (1 - rho2) / (2 * r * r),
                 "kappa_small": small})
json.dump({"tool": "python %s, scipy %s, mpmath %s" % (sys.version.split()[0], scipy.__version__, mp.__version__),
           "v": [{"v": v, "n": n, "p": exact(v, n)} for v, n in vs], "moments": rows}, sys.stdout, indent=1)
print()
