"""Makes learning_py.json: data and certified values of NIST StRD, profile intervals by scipy, and a between-day variance by
statsmodels.

Run with the versions named in the result:  python3 learning_py.py FOLDER > learning_py.json
FOLDER holds Misra1a.dat, BoxBOD.dat and DanWood.dat as published (https://www.itl.nist.gov/div898/strd/, public domain).
The data of Norris stand below; the program stops unless they give the certified line.
"""
import json
import os
import sys

import numpy as np
import scipy
import statsmodels
from scipy.optimize import brentq, minimize_scalar
from scipy.stats import t
from statsmodels.stats.meta_analysis import combine_effects

NORRIS_X = [.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, .4, .6, 775.5, 666.9, 338.0, 447.5, 11.6,
            556.0, 228.1, 995.8, 887.6, 120.2, .3, .3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, .5]
NORRIS_Y = [.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, .3, .1, 778.1, 668.8, 339.3, 448.9, 10.8,
            557.7, 228.3, 998.0, 888.8, 119.6, .3, .6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4, 449.2, .2]


def read(name):
    """Certified values and data of a published file."""
    lines = open(os.path.join(sys.argv[1], name + ".dat")).read().split("\n")
    beta, sd, x, y, data = [], [], [], [], False
    for line in lines:
        part = line.split()
        if line.startswith("  b") and "=" in part:
            beta.append(float(part[4]))
            sd.append(float(part[5]))
        elif "Residual Sum of Squares" in line:
            rss = float(part[-1])
        elif "Residual Standard Deviation" in line:
            rsd = float(part[-1])
        elif part[:2] == ["Data:", "y"]:
            data = True
        elif data and len(part) == 2:
            y.append(float(part[0]))
            x.append(float(part[1]))
    return {"name": name, "x": x, "y": y, "coef": beta, "sd": sd, "rss": rss, "rsd": rsd}


def profile(name, decay, guess, width):
    """Level of y = a + b decay(k, x) with its profile interval (Bates & Watts 1988, 6.1), searched to the last digits."""
    y = np.array([10.21, 7.488, 6.053, 4.58, 4.103, 3.44, 2.89, 2.86, 2.366, 2.373, 2.182, 2.27])
    x = np.arange(1, 13.)

    def held(a):
        def rss(u):
            c = decay(np.exp(u), x)
            e = y - a - (c @ (y - a)) / (c @ c) * c
            return e @ e
        grid = np.linspace(-6, 2, 400)
        i = int(np.argmin([rss(u) for u in grid]))
        return minimize_scalar(rss, bracket=(grid[i - 1], grid[i], grid[i + 1]), tol=1e-12).fun

    best = minimize_scalar(held, bracket=(guess - width / 10, guess, guess + width / 10), tol=1e-12)
    limit = best.fun * (1 + t.ppf(.975, 9) ** 2 / 9)
    return {"name": name, "x": x.tolist(), "y": y.tolist(), "low": brentq(lambda a: held(a) - limit, guess - width, guess),
            "high": brentq(lambda a: held(a) - limit, guess, min(guess + width, 0 if guess < 0 else 2.5))}


def bod_rate():
    """The same of k in b (1 - exp(-k x)), Bates & Watts 1988, A1.4."""
    x, y = np.array([1, 2, 3, 4, 5, 7.]), np.array([8.3, 10.3, 19, 16, 15.6, 19.8])

    def rss(k):
        c = 1 - np.exp(-k * x)
        e = y - (c @ y) / (c @ c) * c
        return e @ e

    best = minimize_scalar(rss, bounds=(.1, 2), method="bounded", options={"xatol": 1e-12})
    limit = best.fun * (1 + t.ppf(.975, 4) ** 2 / 4)
    return {"name": "BOD rate", "x": x.tolist(), "y": y.tolist(), "low": brentq(lambda k: rss(k) - limit, .01, best.x),
            "high": brentq(lambda k: rss(k) - limit, best.x, 5)}


norris = {"name": "Norris", "x": NORRIS_X, "y": NORRIS_Y, "coef": [-0.262323073774029, 1.00211681802045],
          "sd": [0.232818234301152, 0.429796848199937e-03], "rss": 26.6173985294224, "rsd": 0.884796396144373}
b1, b0 = np.polyfit(NORRIS_X, NORRIS_Y, 1)
assert abs(b1 / norris["coef"][1] - 1) < 1e-11 and abs(b0 / norris["coef"][0] - 1) < 1e-9

effects = [28.39, 7.94, -2.75, 6.82, -.64, .63, 18.01, 12.16]  # Rubin (1981): coaching in eight schools
errors = [14.9, 10.2, 16.3, 11.0, 9.4, 11.4, 10.4, 17.6]
spread = [2.1, 9.8, 4.4, -3.2, 7.7, 1.0, 12.5, -1.9]
small = [1.2, 2.1, .9, 1.6, 1.1, 2.4, 1.9, 1.3]
days = [{"y": y, "se": e, "tau2": float(combine_effects(np.array(y), np.array(e) ** 2, method_re="iterated").tau2)}
        for y, e in ((effects, errors), (spread, small))]
json.dump({"tool": "python %s, numpy %s, scipy %s, statsmodels %s" % (sys.version.split()[0], np.__version__, scipy.__version__,
                                                                     statsmodels.__version__),
           "profiles": [profile("exponential", lambda k, x: np.exp(-k * (x - 1)), 2.0752, 1),
                        profile("power", lambda k, x: x ** -k, -4.3334, 24), bod_rate()],
           "sets": [read(name) for name in ("Misra1a", "BoxBOD", "DanWood")] + [norris], "days": days}, sys.stdout, indent=1)
print()
