"""What the drivers share: the pictures that are shown, and waiting for the screen to show them."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
from PIL import Image

from desktop import Desktop, Frame

DATA = Path(__file__).parent.parent / "data"
PICTURES = Path(__file__).parent.parent.parent / "examples" / "demonstration" / "pictures"
TITLE = "nightglass"
SETTLE_SECONDS = 5.0
OUTPUT_SIZE = (1280, 720)


def largest(a: Frame, b: Frame) -> int:
    """Largest difference of a component in codes; 255 where the sizes differ."""
    if a.shape != b.shape or a.size == 0:
        return 255
    return int(np.abs(a.astype(np.int16) - b.astype(np.int16)).max())


def write_pictures(folder: Path, size: tuple[int, int]) -> None:
    """Camera and two slides at the size of the output."""
    sources = {
        "camera.png": DATA / "board_1.jpg",
        "one.png": PICTURES / "slide_3_grey_background.png",
        "two.png": PICTURES / "slide_4_lands_on_writing.png",
    }
    for name, source in sources.items():
        Image.open(source).convert("RGB").resize(size, Image.Resampling.BOX).save(folder / name)


def wait_for_windows(desktop: Desktop, count: int, seconds: float = 30.0) -> None:
    """Wait until so many of the program's windows are seen."""
    end = time.monotonic() + seconds
    while len(desktop.xdotool("search", "--onlyvisible", "--name", TITLE).split()) < count:
        if time.monotonic() > end:
            raise RuntimeError(f"fewer than {count} windows within {seconds} s")
        time.sleep(0.1)


def until_shown(desktop: Desktop, expected: Frame, seconds: float = SETTLE_SECONDS) -> int:
    """Wait until the screen shows this; the largest difference in codes that is left."""
    end = time.monotonic() + seconds
    while (difference := largest(desktop.look(), expected)) > 1 and time.monotonic() < end:
        time.sleep(0.1)
    return difference
