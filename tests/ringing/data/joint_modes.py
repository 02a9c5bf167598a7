#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes joint_modes.csv: noisy sums of damped sinusoids at three positions, and what an independent estimator
makes of them: matrix pencil on the first position for a start, then separable least squares in the time domain
over all positions (scipy.optimize.least_squares), with the covariance of its last step.

Debian packages python3-numpy, python3-scipy. Run beside the fixture: /usr/bin/python3 joint_modes.py
"""
import numpy as np
from scipy.linalg import hankel
from scipy.optimize import least_squares

RATE, SIZE, POSITIONS = 400.0, 600, 3
MODES = [(34.2, 0.90), (41.0, 0.60), (58.3, 0.70), (62.1, 0.50)]  # Hz, T60 in s; invented

generator = np.random.default_rng(20)
t = np.arange(SIZE) / RATE


def basis(parameters):
    columns = []
    for hz, log_decay in parameters.reshape(-1, 2):
        fall = np.exp(-np.exp(log_decay) * t)
        columns += [fall * np.cos(2 * np.pi * hz * t), fall * np.sin(2 * np.pi * hz * t)]
    return np.stack(columns, axis=1)


truth = np.array([(hz, np.log(3 * np.log(10) / t60)) for hz, t60 in MODES]).ravel()
amplitude = generator.normal(size=(2 * len(MODES), POSITIONS))
signals = basis(truth) @ amplitude
noise = np.abs(signals).max() / 10 ** (45 / 20)
signals = np.round(signals + noise * generator.normal(size=signals.shape), 6)


def pencil(signal, order, rows):
    matrix = hankel(signal[: signal.size - rows], signal[signal.size - rows - 1 :])
    left = np.linalg.svd(matrix.T, full_matrices=False)[0][:, :order]
    z = np.linalg.eigvals(np.linalg.pinv(left[:-1]) @ left[1:])
    s = np.log(z[z.imag > 0]) * RATE
    return np.array(sorted((x.imag / (2 * np.pi), np.log(-x.real)) for x in s)).ravel()


def residual(parameters):
    columns = basis(parameters)
    return (signals - columns @ np.linalg.lstsq(columns, signals, rcond=None)[0]).ravel()


start = pencil(signals.sum(axis=1), 2 * len(MODES), 200)
fit = least_squares(residual, start, method="lm", x_scale=np.tile([0.1, 0.1], len(MODES)), xtol=1e-14, ftol=1e-14)
free = signals.size - fit.x.size - 2 * len(MODES) * POSITIONS
spread = np.sqrt(np.diag(np.linalg.inv(fit.jac.T @ fit.jac)) * 2 * fit.cost / free)

with open("joint_modes.csv", "w") as out:
    out.write("# written by joint_modes.py\n# block: estimates: hz, its standard deviation, t60_s, that of ln t60\n")
    for k in range(len(MODES)):
        hz, log_decay = fit.x[2 * k : 2 * k + 2]
        out.write(f"{hz:.6f},{spread[2 * k]:.6f},{3 * np.log(10) / np.exp(log_decay):.6f},{spread[2 * k + 1]:.6f}\n")
    out.write("# block: samples at 400 Hz, one column per position\n")
    for row in signals:
        out.write(",".join(f"{value:.6f}" for value in row) + "\n")
