"""Makes camera.json: homographies and coverage factors, for trajectory/camera.

Run with the versions named in the result:  /usr/bin/python3 camera.py > camera.json

Exact homographies of four points are solved in rational numbers from the eight equations with h33 = 1 (P. S. Heckbert
1989, Fundamentals of texture mapping and image warping, 2.2.3). The plane z = 0 of a camera with the eleven parameters of
Y. I. Abdel-Aziz and H. M. Karara (1971) is a homography with the parameters L1 L2 L4 L5 L6 L8 L9 L10. The fit to eight
noisy points is the normalised direct linear transform of R. I. Hartley (1997), IEEE Trans. PAMI 19(6), 580-593, by numpy's
singular value decomposition. Factors c solve Phi(c + width) - Phi(-c) = 0.95 (G. W. Imbens and C. F. Manski 2004,
Econometrica 72(6), 1845-1857).
"""
import json
import sys
from fractions import Fraction as F

import numpy as np
from scipy import optimize, stats


def solve(a, b):
    """Gauss-Jordan elimination in rational numbers."""
    m = [list(map(F, r)) + [F(v)] for r, v in zip(a, b)]
    n = len(m)
    for i in range(n):
        k = next(k for k in range(i, n) if m[k][i] != 0)
        m[i], m[k] = m[k], m[i]
        m[i] = [v / m[i][i] for v in m[i]]
        for k in range(n):
            if k != i:
                m[k] = [u - m[k][i] * v for u, v in zip(m[k], m[i])]
    return [r[-1] for r in m]


def four(src, dst):
    a, b = [], []
    for (x, y), (u, v) in zip(src, dst):
        a += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        b += [u, v]
    return solve(a, b) + [F(1)]


def at(h, x, y):
    w = h[6] * x + h[7] * y + h[8]
    return (h[0] * x + h[1] * y + h[2]) / w, (h[3] * x + h[4] * y + h[5]) / w


def floats(x):
    return [floats(v) for v in x] if isinstance(x, (list, tuple)) else float(x)


exact = []
for name, src, dst, query in [
    ("unit square", [(0, 0), (1, 0), (1, 1), (0, 1)], [(0, 0), (10, 1), (8, 7), (1, 6)], [(F(1, 2), F(1, 2)), (F(1, 4), F(3, 4))]),
    ("picture to mm", [(120, 340), (610, 355), (540, 80), (180, 70)], [(0, 0), (300, 0), (300, 200), (0, 200)],
     [(360, 200), (400, 300), (120, 340)]),
]:
    h = four(src, dst)
    exact.append(dict(name=name, src=src, dst=dst, h=floats(h), query=floats(query),
                      mapped=[floats(at(h, *q)) for q in query]))

L = [F(v) for v in "2 -1/2 1/4 300 1/3 1 -3/2 250 1/1000 -1/2000 1/500".split()]
h = [L[0], L[1], L[3], L[4], L[5], L[7], L[8], L[9], F(1)]
src = [(0, 0), (100, 0), (100, 100), (0, 100)]
query = [(37, 52), (10, 90)]
exact.append(dict(name="plane of an eleven-parameter camera", src=src, dst=[floats(at(h, *p)) for p in src], h=floats(h),
                  query=query, mapped=[floats(at(h, *q)) for q in query]))

rng = np.random.default_rng(7)
card = np.array([(-42.8, 0), (42.8, 0), (42.8, 53.98), (-42.8, 53.98), (0, 0), (0, 53.98), (-42.8, 26.99), (42.8, 26.99)])
true = np.array([[7.1, .4, 960], [-.6, -6.6, 700], [1e-4, -5e-4, 1]])
q = np.c_[card, np.ones(8)] @ true.T
pixels = np.round(q[:, :2] / q[:, 2:] + rng.normal(0, 1, (8, 2)), 2)


def similarity(p):
    m = p.mean(0)
    s = np.sqrt(2 / ((p - m) ** 2).sum(1).mean())
    return np.array([[s, 0, -s * m[0]], [0, s, -s * m[1]], [0, 0, 1]])


t, u = similarity(pixels), similarity(card)
a = []
for (x, y), (X, Y) in zip(pixels, card):
    x, y, _ = t @ (x, y, 1)
    X, Y, _ = u @ (X, Y, 1)
    a += [[-x, -y, -1, 0, 0, 0, X * x, X * y, X], [0, 0, 0, -x, -y, -1, Y * x, Y * y, Y]]
hn = np.linalg.svd(np.array(a))[2][-1].reshape(3, 3)
h = np.linalg.inv(u) @ hn @ t
h /= h @ np.append(pixels.mean(0), 1) @ (0, 0, 1)


def rms(h, src, dst):
    q = np.c_[src, np.ones(len(src))] @ h.T
    return np.sqrt(((q[:, :2] / q[:, 2:] - dst) ** 2).sum(1).mean())


noisy = dict(src=pixels.tolist(), dst=card.tolist(), h=h.ravel().tolist(),
             residual_from=rms(np.linalg.inv(h), card, pixels), residual_to=rms(h, pixels, card))

factors = [dict(width=w, c=optimize.brentq(lambda c: stats.norm.cdf(c + w) - stats.norm.cdf(-c) - .95, 1, 3, xtol=1e-14))
           for w in (0, .1, .5, 1, 2, 5)]

json.dump(dict(tool="scipy 1.10.1, numpy 1.24.2, Python's fractions", script="camera.py", exact=exact, noisy=noisy,
               factors=factors), sys.stdout, indent=1)
print()
