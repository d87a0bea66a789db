"""Logs as a bench logger writes them: a sound machine's soak, to be spoilt one way at a time."""

import datetime

import numpy as np

TAU_S, RISE_K, NOISE_K = 240.0, 9.2, 0.1
BEGAN = datetime.datetime(2026, 3, 3, 9, 30)


def soak(seconds=5400.0, step=2.0, seed=7):
    """{name: column} of a first-order settling (any control textbook) with noise; times in seconds."""
    rng = np.random.default_rng(seed)
    times = np.arange(0.0, seconds, step)
    room = 22.0 + rng.normal(0.0, 0.05, len(times))
    coolant = 22.0 + RISE_K * (1.0 - np.exp(-times / TAU_S)) + rng.normal(0.0, NOISE_K, len(times))
    return {
        "time": times, "room": room, "coolant": coolant,
        "processor": coolant + 12.8 + rng.normal(0.0, 0.3, len(times)),
        "graphics": coolant + 11.0 + rng.normal(0.0, 0.3, len(times)),
        "fan rpm": 900.0 + rng.normal(0.0, 4.0, len(times)), "load (W)": 300.0 + rng.normal(0.0, 8.0, len(times)),
    }  # fmt: skip


def written(columns, mark=";", comma=False, clock=None, headings=None, before=""):
    """Bytes of a CSV file. clock: how a datetime is written, or None for counted seconds."""
    names = headings or list(columns)
    lines = [mark.join(names)]
    for row in zip(*columns.values(), strict=True):
        cells = [f"{value:.2f}" for value in row]
        if comma:
            cells = [cell.replace(".", ",") for cell in cells]
        if clock:
            cells[0] = (BEGAN + datetime.timedelta(seconds=float(row[0]))).strftime(clock)
        lines.append(mark.join(cells))
    return (before + "\n".join(lines) + "\n").encode()
