"""Make the tiny pictures of tests/data/formats, and the pixels a decoder should give.

    python make_formats.py            write the pictures and expected.json
    python make_formats.py --check    decode the committed pictures and compare

The expected pixels come from decoding the written files with Pillow, or with OpenCV for
16-bit ones, and are also compared with what was drawn. Pictures are drawn from formulas, so
every run draws the same; the bytes of the files depend on the encoders' versions.
"""

from __future__ import annotations

import argparse
import json
import sys
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

import signal_model
from cases import TEST_PICTURES

FOLDER = TEST_PICTURES / "formats"
EXPECTED = FOLDER / "expected.json"
WIDTH, HEIGHT = 12, 8
LARGEST_FILE_BYTES = 4096
LOSSY_TOLERANCE_CODES = 1
EXIF_ORIENTATION_TAG = 274

Codes = NDArray[Any]


# --- drawing ------------------------------------------------------------------------------


def colour_codes(maximum: int) -> Codes:
    """A picture without any symmetry: red grows to the right, green downwards, blue mixes."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    red = x * maximum // (WIDTH - 1)
    green = y * maximum // (HEIGHT - 1)
    blue = (x * 37 + y * 91) * (maximum // 255) % (maximum + 1)
    dtype = np.uint8 if maximum == 255 else np.uint16
    return np.stack([red, green, blue], axis=2).astype(dtype)


def grey_codes(maximum: int) -> Codes:
    """A grey ramp over all pixels in reading order."""
    count = WIDTH * HEIGHT
    dtype = np.uint8 if maximum == 255 else np.uint16
    ramp = np.arange(count) * maximum // (count - 1)
    return np.asarray(ramp.reshape(HEIGHT, WIDTH), dtype)


def alpha_codes(maximum: int) -> Codes:
    """Alpha: clear at the top left, growing along the diagonal, opaque at the bottom right."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    dtype = np.uint8 if maximum == 255 else np.uint16
    return ((x + y) * maximum // (WIDTH + HEIGHT - 2)).astype(dtype)


def block_codes() -> Codes:
    """Six plain blocks of 8x8, three across and two down, each of its own colour.

    They lie on the JPEG block grid, so that every block survives coding almost unchanged, and
    no two of the eight orientations look alike.
    """
    colours = [
        [(200, 40, 40), (40, 180, 60), (50, 60, 200)],
        [(220, 210, 60), (128, 128, 128), (20, 20, 30)],
    ]
    return np.repeat(np.repeat(np.array(colours, np.uint8), 8, axis=0), 8, axis=1)


def tinted_ramp_codes() -> Codes:
    """A grey ramp with a constant colour difference, so that chroma filters do not matter."""
    ramp = 40 + 8 * np.arange(16)
    rgb = ramp[None, :, None] + np.array([20, 0, -20])
    return np.broadcast_to(rgb, (16, 16, 3)).astype(np.uint8)


def stored_for(orientation: int, upright: Codes) -> Codes:
    """How an upright picture is stored under an EXIF orientation (TIFF 6.0, tag 274)."""
    stored = {
        1: upright,
        2: upright[:, ::-1],
        3: upright[::-1, ::-1],
        4: upright[::-1],
        5: upright.transpose(1, 0, 2),
        6: np.rot90(upright, 1),
        7: upright[::-1, ::-1].transpose(1, 0, 2),
        8: np.rot90(upright, -1),
    }
    return np.ascontiguousarray(stored[orientation])


# --- writing ------------------------------------------------------------------------------


def write_16_bit(name: str, codes: Codes) -> None:
    """Write 16-bit grey, RGB or RGBA through OpenCV, TIFF without compression."""
    if codes.ndim == 3:
        codes = cv2.cvtColor(
            codes, cv2.COLOR_RGBA2BGRA if codes.shape[2] == 4 else cv2.COLOR_RGB2BGR
        )
    options = [cv2.IMWRITE_TIFF_COMPRESSION, 1] if name.endswith(".tif") else []
    cv2.imwrite(str(FOLDER / name), codes, options)


def write_palettes() -> dict[str, Codes]:
    """Write two palette pictures, the second with transparent entries; return what was drawn."""
    colours = np.array(
        [(0, 0, 0), (255, 0, 0), (0, 128, 0), (10, 20, 250), (255, 255, 255)], np.uint8
    )
    alphas = np.array([0, 255, 128, 64, 255], np.uint8)
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    index = ((x + 2 * y) % len(colours)).astype(np.uint8)
    picture = Image.fromarray(index).convert("P")
    picture.putdata(index.ravel().tolist())
    picture.putpalette(colours.tobytes())
    picture.save(FOLDER / "png_palette.png")
    picture.save(FOLDER / "png_palette_alpha.png", transparency=alphas.tobytes())
    return {
        "png_palette.png": colours[index],
        "png_palette_alpha.png": np.dstack([colours[index], alphas[index]]),
    }


def repeated(grey: Codes) -> Codes:
    """Grey as three equal channels."""
    return np.repeat(grey[:, :, None], 3, axis=2)


def write_pictures() -> dict[str, Codes | None]:
    """Write all files; per file what was drawn as RGB(A), or None for a CMYK picture."""
    rgb8, rgb16 = colour_codes(255), colour_codes(65535)
    grey8, grey16 = grey_codes(255), grey_codes(65535)
    alpha8, alpha16 = alpha_codes(255), alpha_codes(65535)
    rgba8, rgba16 = np.dstack([rgb8, alpha8]), np.dstack([rgb16, alpha16])
    bit = ((np.arange(WIDTH * HEIGHT) * 7 % 11) < 5).reshape(HEIGHT, WIDTH)
    blocks, ramp = block_codes(), tinted_ramp_codes()
    drawn: dict[str, Codes | None] = {}

    def save(name: str, picture: Image.Image, codes: Codes | None, **options: Any) -> None:
        picture.save(FOLDER / name, **options)
        drawn[name] = codes

    save("png_grey8.png", Image.fromarray(grey8), repeated(grey8))
    save("png_rgb8.png", Image.fromarray(rgb8), rgb8)
    save("png_rgba8.png", Image.fromarray(rgba8), rgba8)
    save(
        "png_la8.png",
        Image.merge("LA", (Image.fromarray(grey8), Image.fromarray(alpha8))),
        np.dstack([repeated(grey8), alpha8]),
    )
    save("png_1bit.png", Image.fromarray(bit), repeated(bit.astype(np.uint8) * 255))
    drawn |= write_palettes()
    for name, codes in [
        ("png_grey16.png", grey16),
        ("png_rgb16.png", rgb16),
        ("png_rgba16.png", rgba16),
        ("tiff_grey16.tif", grey16),
        ("tiff_rgb16.tif", rgb16),
    ]:
        write_16_bit(name, codes)
        drawn[name] = repeated(codes) if codes.ndim == 2 else codes

    jpeg: dict[str, Any] = {"quality": 98, "subsampling": 0}
    save("jpeg_rgb.jpg", Image.fromarray(blocks), blocks, **jpeg)
    save("jpeg_grey.jpg", Image.fromarray(blocks[:, :, 1]), repeated(blocks[:, :, 1]), quality=98)
    save("jpeg_cmyk.jpg", Image.fromarray(blocks).convert("CMYK"), None, quality=98)
    for orientation in range(1, 9):
        exif = Image.Exif()
        exif[EXIF_ORIENTATION_TAG] = orientation
        stored = Image.fromarray(stored_for(orientation, blocks))
        save(f"jpeg_orientation_{orientation}.jpg", stored, blocks, exif=exif, **jpeg)

    save("webp_lossless_alpha.webp", Image.fromarray(rgba8), rgba8, lossless=True, exact=True)
    save("webp_lossy.webp", Image.fromarray(ramp), ramp, quality=95)
    save("tiff_rgb8.tif", Image.fromarray(rgb8), rgb8)
    save("bmp_rgb.bmp", Image.fromarray(rgb8), rgb8)
    return drawn


# --- expecting ----------------------------------------------------------------------------


def is_lossy(name: str) -> bool:
    """Whether decoders may differ by a code."""
    return name.startswith(("jpeg", "webp_lossy"))


def expect() -> dict[str, Any]:
    """Decode every committed picture."""
    pictures = {}
    for path in sorted(FOLDER.iterdir()):
        if path == EXPECTED:
            continue
        codes = signal_model.decode(path)
        entry: dict[str, Any] = {
            "size": [codes.shape[1], codes.shape[0]],
            "bits": codes.dtype.itemsize * 8,
            "channels": "RGBA" if codes.shape[2] == 4 else "RGB",
            "tolerance_codes": LOSSY_TOLERANCE_CODES if is_lossy(path.name) else 0,
            "pixels": codes.reshape(-1).tolist(),
        }
        if "cmyk" in path.name:
            entry["note"] = (
                "either refused with a message that names CMYK, or decoded like this: Adobe "
                "inverted CMYK, R = (255-C)(255-K)/255 and so on, no profile"
            )
        pictures[path.name] = entry
    return {
        "about": (
            "What a decoder should give: orientation applied, grey repeated, palettes looked "
            "up. Pixels in reading order, channels interleaved, in codes of the given bits. "
            "Made with Pillow, 16-bit pictures with OpenCV. JPEG decoders (and lossy WebP) may "
            "differ by tolerance_codes; everything else is exact."
        ),
        "pictures": pictures,
    }


def check_against_drawing(drawn: dict[str, Codes | None]) -> None:
    """Lossless pictures must decode to what was drawn, lossy ones to within 6 codes of it.

    Source of 6: the largest loss of the encoders at these qualities, with a little room.
    """
    for name, codes in drawn.items():
        decoded = signal_model.decode(FOLDER / name)
        if codes is None:
            continue
        if decoded.shape != codes.shape or decoded.dtype != codes.dtype:
            raise AssertionError(f"{name}: decoded as {decoded.dtype} {decoded.shape}")
        largest = int(np.abs(decoded.astype(int) - codes.astype(int)).max())
        if largest > (6 if is_lossy(name) else 0):
            raise AssertionError(f"{name}: decodes {largest} codes from what was drawn")


def check_sizes() -> None:
    """Every picture is a small one."""
    for path in FOLDER.iterdir():
        if path != EXPECTED and path.stat().st_size > LARGEST_FILE_BYTES:
            raise AssertionError(f"{path.name} has {path.stat().st_size} bytes")


def main() -> int:
    """Write the pictures, or check the committed ones."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="compare and write nothing")
    arguments = parser.parse_args()
    if arguments.check:
        committed = json.loads(EXPECTED.read_text())
        expected = expect()
        if committed != expected:
            names = committed["pictures"].keys() | expected["pictures"].keys()
            wrong = [
                name
                for name in sorted(names)
                if committed["pictures"].get(name) != expected["pictures"].get(name)
            ]
            print(f"expected.json does not fit the pictures: {wrong}", file=sys.stderr)
            return 1
        print(f"{len(expected['pictures'])} pictures decode as expected")
        return 0
    FOLDER.mkdir(parents=True, exist_ok=True)
    check_against_drawing(write_pictures())
    check_sizes()
    expected = expect()
    lines = json.dumps(expected["pictures"], separators=(",", ":")).replace("},", "},\n")
    EXPECTED.write_text(f'{{"about":{json.dumps(expected["about"])},\n"pictures":{lines}}}\n')
    print(f"{len(expected['pictures'])} pictures written")
    return 0


if __name__ == "__main__":
    sys.exit(main())
