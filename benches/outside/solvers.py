"""SciPy's solvers on the same right-hand side, called through C, and the one table of them all.

usage: solvers.py RESULTS.json LIBRARY (both as made by the Rust side)
"""

import ctypes
import json
import sys
import time
from math import exp, log

import numpy as np
import scipy
from scipy.integrate import solve_ivp
from scipy.optimize import root

data = json.load(open(sys.argv[1]))
library = ctypes.CDLL(sys.argv[2])
scale = np.array(data["scale"])
TOLERANCES = (1e-4, 1e-6)
NUMBERS = np.ctypeslib.ndpointer(dtype=np.float64, flags="C_CONTIGUOUS")
library.rates_of_piece.argtypes = [ctypes.c_size_t, NUMBERS, NUMBERS]
library.rates_with_hole.argtypes = [ctypes.c_double, ctypes.c_double, NUMBERS, NUMBERS]
for call in (library.rates_of_piece, library.rates_with_hole):
    call.restype = None


def rates(call, *given):
    """Rates at a state."""
    dx = np.empty(len(scale))
    call(*given[:-1], np.ascontiguousarray(given[-1], dtype=float), dx)
    return dx


def integrate(method, relative):
    """Right-hand sides, Jacobians and error of the drive by one of SciPy's methods."""
    x, outputs, calls, jacobians = np.array(data["start"]), [], 0, 0
    for number, piece in enumerate(data["drive"]):
        times = piece["times"]

        def f(t, x):
            nonlocal calls
            calls += 1
            return rates(library.rates_of_piece, number, x)

        span = (piece["from"], times[-1])
        found = solve_ivp(f, span, x, method, times, rtol=relative, atol=relative * scale)
        if not found.success:
            return None
        outputs.append(found.y.T)
        jacobians += found.njev
        x = found.y[:, -1]
    reference = np.array(data["reference"])
    gap = np.abs(np.concatenate(outputs) - reference)
    return calls, jacobians, np.max(gap / np.maximum(np.abs(reference), scale))


def steady_points(count=10):
    """Warm continuation over leak size by the hybrid Powell method, scaled unknowns; states that
    nothing moves here (what the computer has learnt, the car's own speed) stay as they are."""
    steady = data["steady"]
    x = np.array(steady["first"])

    def f(x, size):
        return rates(library.rates_with_hole, size, steady["speed"], x)

    step = 1e-6
    here = f(x, steady["sizes"][0])
    pushed = (f(x + step * s * e, steady["sizes"][0]) for s, e in zip(scale, np.eye(len(x))))
    slopes = np.array([there - here for there in pushed]).T
    moving = np.any(slopes != 0.0, axis=1)
    calls, worst = 0, 0.0
    start = time.perf_counter()
    for size, expected in list(zip(steady["sizes"][1:], steady["points"]))[:count]:
        whole = x.copy()

        def scaled(y):
            whole[moving] = y * scale[moving]
            return f(whole, size)[moving] / scale[moving]

        found = root(scaled, x[moving] / scale[moving], method="hybr", options={"xtol": 1e-10})
        calls += found.nfev
        x = x.copy()
        x[moving] = found.x * scale[moving]
        worst = max(worst, np.max(np.abs(x - expected) / np.maximum(np.abs(expected), scale)))
    seconds = (time.perf_counter() - start) / count
    return seconds, calls / count, worst


def our_front():
    """(log error, log seconds) of our runs that no other of ours beats in both."""
    ours = [r for r in data["traces"] if r["solver"].startswith("ours")]
    front = []
    for e, s in sorted((log(r["error"]), log(r["seconds"])) for r in ours):
        if not front or s < front[-1][1]:
            front.append((e, s))
    return front


def ours_at(error):
    """Seconds that our integrator takes for this error, between its tolerances (log-log)."""
    front, e = our_front(), log(error)
    if e < front[0][0]:
        return None
    for (e0, s0), (e1, s1) in zip(front, front[1:]):
        if e <= e1:
            return exp(s0 + (s1 - s0) * (e - e0) / (e1 - e0))
    return exp(front[-1][1])


def scipy_rows():
    for method in ("LSODA", "BDF", "Radau"):
        for relative in TOLERANCES:
            start = time.perf_counter()
            found = integrate(method, relative)
            seconds = time.perf_counter() - start
            if found is None:
                print(f"SciPy {method} gives up at {relative:.0e}")
                continue
            yield {
                "solver": f"SciPy {method}",
                "relative": relative,
                "seconds": seconds,
                "evaluations": found[0],
                "jacobians": found[1],
                "error": found[2],
            }


def print_traces():
    print("10 s trace with tip-in, 1000 outputs, 43 states (ours carries 14 ledger entries too)")
    print("error: largest of any state at any output, over the state or its scale")
    print("ratio: time over ours at that error\n")
    rows = data["traces"] + list(scipy_rows())
    for relative in TOLERANCES:
        print(
            f"{'solver':34} {'rtol':>6} {'ms':>9} {'RHS':>7} {'J':>5} {'error':>8}"
            f" {'ours at that error':>20} {'ratio':>7}"
        )
        for r in rows:
            if abs(log(r["relative"] / relative)) > 0.1:
                continue
            ours = ours_at(r["error"])
            tail = f"{'(finer than any of ours)':>28}"
            if ours:
                tail = f"{ours * 1e3:17.2f} ms {r['seconds'] / ours:7.1f}"
            print(
                f"{r['solver']:34} {r['relative']:6.0e} {r['seconds'] * 1e3:9.2f}"
                f" {r['evaluations']:7} {r['jacobians']:5} {r['error']:8.1e} {tail}"
            )
        print()
    print("ms and error over tolerances 1e-2, 1e-3, ... 1e-10")
    for name in dict.fromkeys(r["solver"] for r in data["traces"]):
        cells = {round(-2 * log(r["relative"], 10)): r for r in data["traces"] if r["solver"] == name}
        shown = [
            f"{cells[k]['seconds'] * 1e3:.2f} {cells[k]['error']:.0e}" if k in cells else "-"
            for k in range(4, 21, 2)
        ]
        print(f"{name:34} " + " | ".join(shown))


def print_steady():
    steady = data["steady"]
    seconds, calls, worst = steady_points()
    print(f"\n{'warm steady points, full load':45} {'per second':>12} {'each':>12}")
    for what, s in (
        ("ours, hole 3.00 to 5.00 mm by 0.05", steady["seconds_by_size"]),
        ("ours, 2500 to 4000 rpm by 25", steady["seconds_by_speed"]),
        ("SciPy root (hybr), hole", seconds),
    ):
        print(f"{what:45} {1 / s:12.0f} {s * 1e6:9.1f} us")
    print(f"ours over SciPy: {seconds / steady['seconds_by_size']:.0f} ({calls:.0f} RHS a point there)")
    print(f"SciPy's points differ from ours by {worst:.0e} at most")


def main():
    print(f"references at 1e-11, ours and CVODE's, agree to {data['reference_agreement']:.1e}")
    print(f"SciPy {scipy.__version__}, Python {sys.version.split()[0]}\n")
    print_traces()
    print_steady()
    start = time.perf_counter()
    for _ in range(500):
        rates(library.rates_of_piece, 0, data["start"])
    print(f"one right-hand side from Python: {(time.perf_counter() - start) / 500 * 1e6:.0f} us")


main()
