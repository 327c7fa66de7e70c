"""Makes trajectory.json: major axes with their intervals, for trajectory.

Run with the versions named in the result:  python3 trajectory.py > trajectory.json

Pearson's data: K. Pearson (1901), Phil. Mag. (6) 2, 559-572. Cabezon: Sokal and
Rohlf (1995), Biometry, 3rd ed., box 14.12; its interval also in the R package
lmodel2 1.7-4. Gills of crabs: Sokal and Rohlf, box 14.1.
The interval is that of Jolicoeur and Mosimann (1968), Biometrie-Praximetrie 9,
121-140, as in Sokal and Rohlf, box 14.12.
"""
import json
import sys

import numpy as np
from scipy import stats

data = {
    "pearson1901": ([0, .9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4],
                    [5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5]),
    "cabezon": ([14, 17, 24, 25, 27, 33, 34, 37, 40, 41, 42],
                [61, 37, 65, 69, 54, 93, 87, 89, 100, 90, 97]),
    "crab gills": ([14.4, 15.2, 11.3, 2.5, 22.7, 14.9, 1.41, 15.81, 4.19, 15.39, 17.25, 9.52],
                   [159, 179, 100, 45, 384, 230, 100, 320, 80, 220, 320, 210]),
}

items = []
for name, (x, y) in data.items():
    x, y = [float(v) for v in x], [float(v) for v in y]
    n = len(x)
    values, vectors = np.linalg.eigh(np.cov(x, y))
    l2, l1 = values
    b = vectors[1, 1] / vectors[0, 1]
    h = stats.f.ppf(.95, 1, n - 2) / ((l1 / l2 + l2 / l1 - 2) * (n - 2))
    a = np.sqrt(h / (1 - h))
    items.append(dict(name=name, x=x, y=y, slope=b, lambda1=l1, lambda2=l2,
                      slope_low=(b - a) / (1 + b * a), slope_high=(b + a) / (1 - b * a)))

json.dump(dict(tool="scipy 1.10.1, numpy 1.24.2", script="trajectory.py", axes=items), sys.stdout, indent=1)
print()
