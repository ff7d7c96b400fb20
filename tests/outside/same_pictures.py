"""Require that two folders hold the same pictures.

    python same_pictures.py FOLDER OTHER

The demonstration is drawn with the sines and powers of the system's own library, and JPEG
decoders differ by a code, so a component may be off by two codes.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from PIL import Image

LARGEST_DIFFERENCE_CODES = 2


def pictures(folder: Path) -> dict[str, Path]:
    """The PNG and JPEG files of a folder by name."""
    return {path.name: path for path in folder.iterdir() if path.suffix in {".png", ".jpg"}}


def largest_difference(one: Path, other: Path) -> int:
    """Largest difference of a component in codes; 255 where the sizes differ."""
    a, b = (np.asarray(Image.open(path).convert("RGB"), dtype=np.int16) for path in (one, other))
    return int(np.abs(a - b).max()) if a.shape == b.shape else 255


def main() -> int:
    """Compare and report; 1 if anything differs."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("other", type=Path)
    arguments = parser.parse_args()
    left, right = pictures(arguments.folder), pictures(arguments.other)
    if not left or left.keys() != right.keys():
        print(f"different pictures: {sorted(left)} and {sorted(right)}")
        return 1
    worst = {name: largest_difference(path, right[name]) for name, path in left.items()}
    for name, difference in sorted(worst.items()):
        print(f"{name}: largest difference {difference} codes")
    return int(max(worst.values()) > LARGEST_DIFFERENCE_CODES)


if __name__ == "__main__":
    sys.exit(main())
