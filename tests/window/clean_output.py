"""Drive the clean output: it fills the monitor, and stays true whatever happens to its window, engine and device."""

from __future__ import annotations

import json
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image

from desktop import Desktop, Frame
from shown import OUTPUT_SIZE, until_shown, wait_for_windows, write_pictures

CLEAN_OUTPUT = "nightglass: clean output"
LOSES_DEVICE = Path(__file__).parent / "loses_device.c"
REOPEN_SECONDS = 20.0
"""Opening a device and both windows anew, and checking everything again beside it, on two cores."""


@dataclass
class Told:
    """What was compared and what failed."""

    compared: int = 0
    failures: list[str] = field(default_factory=list)

    def tell(self, name: str, desktop: Desktop, expected: Frame, seconds: float = 5.0) -> None:
        """Wait until the screen shows this, and say how far from it it is."""
        difference = until_shown(desktop, expected, seconds)
        print(f"{name:<52} {difference:>4}  {'pass' if difference <= 1 else 'FAIL'}", flush=True)
        self.check(name, difference <= 1)
        self.compared += expected.shape[0] * expected.shape[1]

    def check(self, name: str, is_good: bool) -> None:
        """Keep what failed."""
        if not is_good:
            self.failures.append(name)


def composed(program: str, folder: Path, slide: str, *more: str) -> Frame:
    """The picture of `compose`."""
    out = folder / "expected.png"
    command = [program, "compose", "--engine", "cpu", "--camera", "camera.png", "--slide", slide]
    subprocess.run([*command, *more, "--out", str(out)], cwd=folder, check=True, capture_output=True)
    return np.asarray(Image.open(out))


@contextmanager
def covered(desktop: Desktop) -> Iterator[None]:
    """Another window lies over all of the screen."""
    window = desktop.x11.XCreateSimpleWindow(
        desktop.display, desktop.root, 0, 0, desktop.width, desktop.height, 0, 0, 0xFFFFFF
    )
    desktop.x11.XMapRaised(desktop.display, window)
    desktop.x11.XFlush(desktop.display)
    time.sleep(0.5)
    yield
    desktop.x11.XDestroyWindow(desktop.display, window)
    desktop.x11.XFlush(desktop.display)


@contextmanager
def running(desktop: Desktop, folder: Path, command: list[str]) -> Iterator[Callable[[], bool]]:
    """The program with its clean output over the screen; whether it still runs."""
    started = desktop.start(command, folder)
    try:
        wait_for_windows(desktop, 2)
        raise_output(desktop)
        yield lambda: started.poll() is None
    finally:
        started.kill()
        started.wait()


def raise_output(desktop: Desktop) -> None:
    """A window manager keeps a window that fills the screen above the others; here there is none."""
    desktop.xdotool("windowraise", desktop.focus(CLEAN_OUTPUT))


def drive_mirrored(program: str, folder: Path, told: Told) -> None:
    """It fills the monitor, mirrored there alone, follows the slides, and comes back where it was covered."""
    with Desktop(*OUTPUT_SIZE) as desktop:
        command = [program, "preview", "one.png", "two.png", "--camera", "camera.png"]
        command += ["--clean-output", "1", "--mirror-monitor"]
        with running(desktop, folder, command):
            one, two = (composed(program, folder, name)[:, ::-1] for name in ["one.png", "two.png"])
            told.tell("clean output, mirrored, from the start", desktop, one)
            for key, expected in [("Right", two), ("Page_Up", one)]:
                desktop.keys(key)
                told.tell(f"clean output, mirrored, {key}", desktop, expected)
            # The window behind it was drawn since, from the same buffer.
            with covered(desktop):
                pass
            told.tell("clean output, wiped, drawn again", desktop, one)
            with covered(desktop):
                desktop.keys("Right")
                time.sleep(1.0)
            told.tell("clean output, changed while it was covered", desktop, two)


def drive_other_engine(program: str, folder: Path, told: Told) -> None:
    """Another engine counts its pictures from the beginning: the first of each is drawn all the same."""
    setup = folder / "nightglass.toml"

    def write(engine: str, threshold: int) -> None:
        setup.write_text(
            f'camera = "camera.png"\nslides = ["one.png"]\nengine = "{engine}"\n'
            f"[key]\nthreshold = {threshold}\n"
        )

    write("cpu", 6)
    with Desktop(*OUTPUT_SIZE) as desktop:
        command = [program, "preview", "--clean-output", "1"]
        with running(desktop, folder, command):
            for engine, threshold in [("cpu", 6), ("gpu", 20), ("cpu", 40), ("gpu", 60)]:
                write(engine, threshold)
                expected = composed(program, folder, "one.png", "--threshold", str(threshold))
                told.tell(f"clean output, engine {engine}, threshold {threshold}", desktop, expected)
    setup.unlink()


def drive_lost_device(program: str, folder: Path, told: Told) -> None:
    """Where the graphics device is lost, both windows are opened again with another, and go on.

    A step to another slide is drawn on the clean output first, a dimmed panel in the window alone.
    """
    driver, lose, icd = (folder / name for name in ["loses.so", "lose", "loses.json"])
    subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-o", driver, LOSES_DEVICE, "-ldl"], check=True)
    for engine, key in [("auto", "Right"), ("gpu", "d")]:
        with Desktop(*OUTPUT_SIZE) as desktop:
            real = Path(desktop.environment["VK_DRIVER_FILES"])
            described = json.loads(real.read_text())
            desktop.environment["REAL_DRIVER"] = described["ICD"]["library_path"]
            described["ICD"]["library_path"] = str(driver)
            icd.write_text(json.dumps(described))
            desktop.environment |= {"VK_DRIVER_FILES": str(icd), "LOSE_DEVICE": str(lose)}
            command = [program, "preview", "one.png", "two.png", "--camera", "camera.png"]
            command += ["--clean-output", "1", "--engine", engine]
            one, two = (composed(program, folder, name) for name in ["one.png", "two.png"])
            with running(desktop, folder, command) as still_runs:
                told.tell(f"clean output, engine {engine}, before a loss", desktop, one)
                lose.touch()
                desktop.keys(key)
                end = time.monotonic() + REOPEN_SECONDS
                while lose.exists() and time.monotonic() < end:
                    time.sleep(0.1)
                told.check(f"the device is lost, engine {engine}", not lose.exists())
                time.sleep(3.0)
                told.check(f"the program goes on, engine {engine}", still_runs())
                raise_output(desktop)
                # The key may have gone to the window that was closed.
                desktop.keys("Home")
                name = f"clean output, engine {engine}, after the loss"
                told.tell(name, desktop, one, REOPEN_SECONDS)
                desktop.keys("Right")
                told.tell(f"clean output, engine {engine}, and on", desktop, two)
                # The window behind it follows too.
                desktop.keys("F5")
                desktop.focus("two - nightglass")


def drive_clean_output(program: str, folder: Path) -> tuple[int, list[str]]:
    """All of it: pixels compared, and what failed."""
    write_pictures(folder, OUTPUT_SIZE)
    (folder / "nightglass.toml").unlink(missing_ok=True)
    told = Told()
    drive_mirrored(program, folder, told)
    drive_other_engine(program, folder, told)
    drive_lost_device(program, folder, told)
    return told.compared, told.failures
