"""Makes drive.json: rotations of rigid point sets, for motion/drive.

Run with the versions named in the result:  python3 drive.py > drive.json

exact: a rotation by 60 degrees about (1, 1, 1) and a shift, closed form.
noisy: the same points moved by it with rounded errors; rotation, shift and
angle by scipy.spatial.transform.Rotation.align_vectors, the method of
Soderkvist and Wedin (1993), J. Biomech. 26, 1473-1477.
small: one point set turned by small angles; rotation vectors by scipy.
planar: the 3-4-5 triangle's rotation, closed form.
"""
import json
import sys

import numpy as np
import scipy
from scipy.spatial.transform import Rotation

A = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1], [1, 2, -1]], float)
R = np.array([[2, -1, 2], [2, 2, -1], [-1, 2, 2]]) / 3
shift = np.array([.5, -1, 2])

B = np.array([[.51, -1.02, 2.015], [1.154667, -.325333, 1.661667], [.186667, -.323333, 2.656667],
              [1.159667, -1.346333, 2.684667], [-.162667, 1.339333, 2.324333]])
ma, mb = A.mean(0), B.mean(0)
fit, _ = Rotation.align_vectors(B - mb, A - ma)
noisy = dict(a=A.tolist(), b=B.tolist(), rotation=fit.as_matrix().tolist(),
             angle_deg=float(np.degrees(fit.magnitude())), shift=(mb - fit.apply(ma)).tolist())

hand = np.array([[0, 0, 0], [70, 25, 3], [74, 5, 11], [72, -15, 4], [66, -33, 9]], float)
small = []
for vector in ([.02, -.01, .03], [.1, .05, -.02], [-.3, .2, .1]):
    small.append(dict(vector=vector, a=hand.tolist(), b=Rotation.from_rotvec(vector).apply(hand).tolist()))

P = np.array([[0, 0], [4, 0], [4, 3], [0, 3]], float)
Q = P @ np.array([[4, -3], [3, 4]]).T / 5 + [2, 1]

json.dump(dict(
    tool="scipy %s, numpy %s" % (scipy.__version__, np.__version__), script="drive.py",
    exact=dict(a=A.tolist(), b=(A @ R.T + shift).tolist(), angle_deg=60, axis=[3 ** -.5] * 3),
    noisy=noisy, small=small,
    planar=dict(a=P.tolist(), b=Q.tolist(), angle_deg=float(np.degrees(np.arctan2(3, 4))))), sys.stdout, indent=1)
print()
