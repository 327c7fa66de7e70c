"""Makes ranks_scipy.json: exact probabilities of Spearman's rank correlation by trying all orders.

Run with the versions named in the result:  /usr/bin/python3 ranks_scipy.py > ranks_scipy.json
Sums of products of doubled ranks are whole numbers, so that ties are counted exactly. The ranks and the coefficient are those
of scipy.stats.
"""
import itertools
import json
import sys

import numpy as np
import scipy
from scipy import stats

sets = [([106, 86, 100, 101, 99, 103, 97, 113, 112, 110], [7, 0, 27, 50, 28, 29, 20, 12, 6, 17]),
        ([44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1], [2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8]),
        ([1, 1, 2, 3, 3, 3, 4], [2, 1, 1, 5, 4, 4, 6]), ([1, 2, 2, 2, 3, 9, 9, 9], [5, 5, 1, 2, 2, 2, 1, 1]),
        ([1, 2, 3], [3, 2, 1]), ([1, 1, 1, 1, 2], [1, 2, 3, 4, 5])]
out = []
for x, y in sets:
    a = (2 * stats.rankdata(x)).astype(int)
    b = (2 * stats.rankdata(y)).astype(int)
    n = len(a)
    far = abs(n * int(a @ b) - int(a.sum()) * int(b.sum()))
    hits = total = 0
    orders = itertools.permutations(b.tolist())
    while True:
        part = np.array(list(itertools.islice(orders, 400000)), dtype=np.int32)
        if not len(part):
            break
        d = np.abs(n * (part @ a.astype(np.int32)) - int(a.sum()) * int(b.sum()))
        hits += int((d >= far).sum())
        total += len(part)
    out.append({"x": x, "y": y, "rho": float(stats.spearmanr(x, y)[0]), "hits": hits, "orders": total})
json.dump({"tool": "python %s, numpy %s, scipy %s" % (sys.version.split()[0], np.__version__, scipy.__version__), "exact": out},
          sys.stdout, indent=1)
print()
