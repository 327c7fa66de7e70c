"""Makes circular_scipy.json: the exact V test and the moments of circular data with scipy.

Run with the versions named in the result:  /usr/bin/python3 circular_scipy.py > circular_scipy.json
The probability that n directions spread evenly reach v along a given one is Gil-Pelaez' integral,
1/2 - (1/pi) int_0^inf J0(t)^n sin(tv)/t dt, by Gauss and Legendre's rule of 40 points between each two of the first 20000
zeros of J0: what lies beyond is below 1e-13. Kappa comes from the exact root of A1.
"""
import json
import math
import sys

import numpy as np
import scipy
from scipy import optimize, special

edges = np.concatenate([[0], special.jn_zeros(0, 1000)])
# Beyond the first thousand, McMahon's expansion: 1/(8b) off (k-1/4) pi, the next term is below 1e-11.
late = (np.arange(1001, 20001) - .25) * np.pi
edges = np.concatenate([edges, late + 1 / (8 * late)])
x, w = np.polynomial.legendre.leggauss(40)
half = np.diff(edges)[:, None] / 2
t = edges[:-1, None] + half * (1 + x)
j0, weight = special.j0(t), w * half / t


def exact(v, n):
    return 0.5 - math.fsum((weight * j0 ** n * np.sin(t * v)).ravel()) / math.pi


vs = [(2.0, 6), (3.1, 5), (4.5, 8), (9.497611926, 10), (-1.2, 9), (0.3, 7), (15.0, 40), (6.0, 100)]
sets = {"roulette": (1, [43, 45, 52, 61, 75, 88, 88, 279, 357]), "trees": (1, [45, 55, 81, 96, 110, 117, 132, 154]),
        "zar 27.2": (1, [66, 75, 86, 88, 88, 93, 97, 101, 118, 130]),
        "zar 26.7": (2, [35, 40, 40, 45, 45, 55, 60, 215, 220, 225, 225, 235, 235, 240, 245])}
rows = []
for name, (fold, deg) in sets.items():
    a = np.radians(deg) * fold
    n = len(a)
    z = np.mean(np.exp(1j * a))
    r, mean = abs(z), math.atan2(z.imag, z.real)
    rho2 = float(np.mean(np.cos(2 * (a - mean))))
    kappa = optimize.brentq(lambda k: special.ive(1, k) / special.ive(0, k) - r, 1e-9, 1e4, xtol=1e-13, rtol=1e-14)
    small = max(0, kappa - 2 / (n * kappa)) if kappa < 2 else (n - 1) ** 3 * kappa / (n ** 3 + n)
    rows.append({"name": name, "axes": fold == 2, "deg": deg, "rho2": rho2, "dispersion": (1 - rho2) / (2 * r * r),
                 "kappa_small": small})
json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "v": [{"v": v, "n": n, "p": exact(v, n)} for v, n in vs], "moments": rows}, sys.stdout, indent=1)
print()
