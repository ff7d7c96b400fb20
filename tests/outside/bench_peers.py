"""Time the composite in OpenCV and NumPy, beside a plain copy, at 1920x1080.

    python bench_peers.py [--runs 20] [--json]

All at the default key (threshold 6, softness 4, BT.709, linear ramp, straight, encoded), on
two threads. The camera is tests/data/board_1.jpg; the two slides are generated: one is black
on three quarters of its area, the other has no black at all. Medians after a warm-up.
NumPy computes on one thread whatever is allowed.

Each peer is also compared with the model: on the timed slide, and on a dark gradient that
lies in the ramp, which the timed slides do not touch. OpenCV works on 8-bit luma here, so in
the ramp it is coarser. The table gives the largest differences in code values.

The copy of one frame (6.2 MB) is timed twice: again and again between the same two buffers,
which a large cache can hold, and through more buffers than any cache holds.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import partial
from itertools import cycle
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

import signal_model
from cases import BOARD, DEFAULTS, TEST_PICTURES

WIDTH, HEIGHT = 1920, 1080
THREADS = 2
WARM_UP_RUNS = 3
SEED = 20240229

COPY_BUFFERS = 40
"""Pairs of frames to copy through: 500 MB, several times the largest caches."""

Frame = NDArray[Any]


@dataclass(frozen=True)
class Timing:
    """Median, fastest and slowest run, and how far the result is from the model, in codes."""

    peer: str
    slide: str
    median_ms: float
    fastest_ms: float
    slowest_ms: float
    largest_difference: int | None
    largest_difference_in_the_ramp: int | None


# --- slides -------------------------------------------------------------------------------


def slide_without_black() -> Frame:
    """Smooth random colours, every channel 64 or more, so that all of it is solid."""
    random = np.random.default_rng(SEED)
    coarse = random.integers(64, 256, (HEIGHT // 40, WIDTH // 40, 3), dtype=np.uint8)
    return cv2.resize(coarse, (WIDTH, HEIGHT), interpolation=cv2.INTER_LINEAR)


def slide_mostly_black() -> Frame:
    """The same colours in the middle half of each axis, black on the other three quarters."""
    slide = np.zeros((HEIGHT, WIDTH, 3), np.uint8)
    inner = np.s_[HEIGHT // 4 : HEIGHT * 3 // 4, WIDTH // 4 : WIDTH * 3 // 4]
    slide[inner] = slide_without_black()[inner]
    return slide


def slide_in_the_ramp() -> Frame:
    """A tinted gradient across the whole ramp, luma from about 3 to 13 %, fractions included."""
    green = np.linspace(10.0, 30.0, WIDTH)[None, :] + np.linspace(-3.0, 3.0, HEIGHT)[:, None]
    return np.floor(np.stack([1.3 * green, green, 0.7 * green], axis=2)).astype(np.uint8)


# --- peers --------------------------------------------------------------------------------


class OpenCvComposite:
    """transform to 8-bit luma, a LUT to both weights, blendLinear; buffers are kept."""

    def __init__(self) -> None:
        kr, kb = signal_model.LUMA_WEIGHTS[DEFAULTS["luma"]]
        self.weights = np.array([[kr, 1.0 - kr - kb, kb]], np.float32)
        levels = np.arange(256)[None, :] / 255.0
        kept = signal_model.matte(
            levels, DEFAULTS["threshold"], DEFAULTS["softness"], DEFAULTS["ramp"]
        )
        self.kept_of_luma = kept.astype(np.float32)
        self.rest_of_luma = (1.0 - kept).astype(np.float32)
        self.luma = np.empty((HEIGHT, WIDTH), np.uint8)
        self.kept = np.empty((HEIGHT, WIDTH), np.float32)
        self.rest = np.empty((HEIGHT, WIDTH), np.float32)
        self.flipped = np.empty((HEIGHT, WIDTH, 3), np.uint8)
        self.out = np.empty((HEIGHT, WIDTH, 3), np.uint8)

    def straight(self, camera: Frame, slide: Frame) -> Frame:
        """The straight composite."""
        cv2.transform(slide, self.weights, self.luma)
        cv2.LUT(self.luma, self.kept_of_luma, self.kept)
        cv2.LUT(self.luma, self.rest_of_luma, self.rest)
        return cv2.blendLinear(slide, camera, self.kept, self.rest, self.out)

    def mirrored(self, camera: Frame, slide: Frame) -> Frame:
        """The straight composite over the mirrored camera."""
        return self.straight(cv2.flip(camera, 1, self.flipped), slide)


def numpy_composite(camera: Frame, slide: Frame) -> Frame:
    """The straight composite in float32, one operation after another (one thread)."""
    kr, kb = signal_model.LUMA_WEIGHTS[DEFAULTS["luma"]]
    front = slide.astype(np.float32) / np.float32(255.0)
    back = camera.astype(np.float32) / np.float32(255.0)
    green = front[:, :, 1]
    y = green + kr * (front[:, :, 0] - green) + kb * (front[:, :, 2] - green)
    t, s = DEFAULTS["threshold"] / 100.0, DEFAULTS["softness"] / 100.0
    kept = np.clip((y - t) / s, 0.0, 1.0)[:, :, None]
    blended = kept * front + (1.0 - kept) * back
    return np.floor(255.0 * blended + 0.5).astype(np.uint8)


def model_composite(camera: Frame, slide: Frame) -> Frame:
    """What the model gives, to compare with."""
    front, back = signal_model.normalised(slide), signal_model.normalised(camera)
    kept = signal_model.matte(
        signal_model.luma(front, DEFAULTS["luma"]),
        DEFAULTS["threshold"],
        DEFAULTS["softness"],
        DEFAULTS["ramp"],
    )
    return signal_model.to_codes(signal_model.over(front, kept, back, DEFAULTS["alpha"]))


# --- timing -------------------------------------------------------------------------------


def time_runs(work: Callable[[], Any], runs: int) -> list[float]:
    """Milliseconds of each run after the warm-up."""
    for _ in range(WARM_UP_RUNS):
        work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(1000.0 * (time.perf_counter() - start))
    return times


def timing(peer: str, slide: str, times: list[float], *differences: int | None) -> Timing:
    """Summarise the runs of one peer on one slide."""
    return Timing(
        peer,
        slide,
        round(statistics.median(times), 3),
        round(min(times), 3),
        round(max(times), 3),
        *differences,
    )


def largest_difference(one: Frame, other: Frame) -> int:
    """The largest difference in code values."""
    return int(np.abs(one.astype(np.int16) - other.astype(np.int16)).max())


def measure_composites(runs: int) -> list[Timing]:
    """Time every peer on both slides."""
    camera = signal_model.decode(TEST_PICTURES / BOARD)
    slides = {"3/4 black": slide_mostly_black(), "no black": slide_without_black()}
    ramp = slide_in_the_ramp()
    opencv = OpenCvComposite()
    peers: list[tuple[str, Callable[[Frame, Frame], Frame], Frame]] = [
        ("opencv", opencv.straight, camera),
        ("opencv, camera mirrored", opencv.mirrored, camera[:, ::-1]),
        ("numpy float32", numpy_composite, camera),
    ]
    timings = []
    for slide_name, slide in slides.items():
        for peer, composite, seen_camera in peers:
            differences = [
                largest_difference(model_composite(seen_camera, front), composite(camera, front))
                for front in (slide, ramp)
            ]
            times = time_runs(partial(composite, camera, slide), runs)
            timings.append(timing(peer, slide_name, times, *differences))
    return timings


def measure_copies(runs: int) -> list[Timing]:
    """Time np.copyto of one frame, within a cache and beyond it."""
    frame = np.ones((HEIGHT, WIDTH, 3), np.uint8)
    target = np.zeros_like(frame)
    cached = time_runs(partial(np.copyto, target, frame), runs)
    pairs = cycle([(frame.copy(), frame.copy()) for _ in range(COPY_BUFFERS)])
    uncached = time_runs(lambda: np.copyto(*next(pairs)), runs)
    return [
        timing("copy, same buffers", "-", cached, None, None),
        timing("copy, from memory", "-", uncached, None, None),
    ]


def as_table(timings: list[Timing], runs: int) -> str:
    """A table of at most 80 columns."""
    lines = [
        f"{WIDTH}x{HEIGHT}, {THREADS} threads, {runs} runs, OpenCV {cv2.__version__}, "
        f"NumPy {np.__version__}",
        f"{'peer':<24} {'slide':<10} {'median ms':>9} {'fastest':>8} {'slowest':>8} "
        f"{'off by':>6} {'in ramp':>7}",
    ]
    for row in timings:
        off_by, in_ramp = (
            "-" if codes is None else codes
            for codes in (row.largest_difference, row.largest_difference_in_the_ramp)
        )
        lines.append(
            f"{row.peer:<24} {row.slide:<10} {row.median_ms:>9.2f} {row.fastest_ms:>8.2f} "
            f"{row.slowest_ms:>8.2f} {off_by:>6} {in_ramp:>7}"
        )
    return "\n".join(lines)


def main() -> int:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--runs", type=int, default=20, help="timed runs of each, at least 20")
    parser.add_argument("--json", action="store_true", help="print one JSON document instead")
    arguments = parser.parse_args()
    if arguments.runs < 20:
        parser.error("--runs must be at least 20")
    cv2.setNumThreads(THREADS)
    timings = measure_composites(arguments.runs) + measure_copies(arguments.runs)
    if arguments.json:
        document = {
            "schema": 1,
            "output": [WIDTH, HEIGHT],
            "threads": THREADS,
            "runs": arguments.runs,
            "opencv": cv2.__version__,
            "numpy": np.__version__,
            "timings": [asdict(row) for row in timings],
        }
        print(json.dumps(document))
    else:
        print(as_table(timings, arguments.runs))
    return 0


if __name__ == "__main__":
    sys.exit(main())
