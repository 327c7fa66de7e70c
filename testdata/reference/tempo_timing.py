"""Makes tempo_timing.json: timing indices, a cosine transform, slopes and shares within a window, by numpy and scipy.

Run with the versions named in the result:  python3 tempo_timing.py > tempo_timing.json
The split of Wing and Kristofferson (1973) is clock = g0 + 2 g1, motor = -g1 with autocovariances over N; no worked example
in figures is known, so the intervals are made up, two of them against the model. nPVI is that of Grabe and Low (2002).
"""
import json
import sys

import numpy as np
import scipy
from scipy import fft, stats

split = []
for ms in [
    [405, 398, 412, 401, 407, 395, 404, 399, 391, 402, 396, 408, 400, 411, 403, 406, 394, 397, 409, 402],
    [412, 398, 405, 420, 391, 409, 402, 415, 396, 408, 403, 411, 399, 404, 417, 393, 406, 401, 410, 400],
    [402, 399, 405, 411, 408, 403, 398, 401, 396, 392, 397, 404, 409, 400, 406, 410, 403, 395, 399, 402],
]:
    x = np.array(ms) / 1000
    d = x - x.mean()
    g0, g1 = float(d @ d / len(d)), float(d[1:] @ d[:-1] / len(d))
    split.append({"intervals": x.tolist(), "clock": g0 + 2 * g1, "motor": -g1})

npvi = []
for d in [[1, 1, 1, 1], [2, 1, 2, 1], [3, 1, 3, 1], [1, .5, 1.5, 1, .25, .75], [.5, .25, .25, .5, .5, 1],
          [120, 133, 118, 141, 125, 160, 110]]:
    d = np.array(d, float)
    npvi.append({"durations": d.tolist(), "value": float(100 * np.mean(abs(np.diff(d)) / ((d[1:] + d[:-1]) / 2)))})

y = np.round(np.sin(np.arange(15) ** 2 / 3.) + .3, 4)
cosines = {"y": y.tolist(), "c": fft.dct(y, type=2, norm="ortho").tolist()}

# Independent events: the interval of Wilson (1927).
wilson = []
for k, n in [(1500, 2000), (100, 2000), (1990, 2000)]:
    ci = stats.binomtest(k, n).proportion_ci(0.95, method="wilson")
    wilson.append({"k": k, "n": n, "low": float(ci.low), "high": float(ci.high)})

# A cycle of two exponential strokes, about its mean.
chance = [{"share": w, "chance": float(stats.gamma.cdf(1 + w, 2, scale=.5) - stats.gamma.cdf(1 - w, 2, scale=.5))}
          for w in (.02, .05, .1, .5)]

# Log durations of ten strokes a second that slow down, at 16 block times.
at = np.arange(16) * 2. + 1
z = np.round(np.log(.1) + .004 * at + .02 * np.sin(np.arange(16) * 2.4), 6)
n = len(at)
slopes = {"at": at.tolist(), "y": z.tolist(), "slope": float(stats.theilslopes(z, at)[0]),
          "s": int(round(float(stats.kendalltau(at, z)[0]) * n * (n - 1) / 2))}

json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__),
           "split": split, "npvi": npvi, "cosines": cosines, "wilson": wilson, "chance": chance, "slope": slopes},
          sys.stdout, indent=1)
print()
