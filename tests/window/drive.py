"""Drive the real window by keys and pointer and compare what it shows with `compose`.

    python drive.py PROGRAM [--keep FOLDER]

After each step the setup is saved from the window, `compose` makes the same picture from that
setup as a file, and the picture on the screen at one to one must equal it within one code.
The list of findings is closed for that, because it marks places over the picture.
Then the clean output is compared, mirrored, over the whole screen, and the time from a key to
the changed picture and from the start to the first picture are measured.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from clean_output import drive_clean_output
from desktop import Desktop, Frame
from shown import (
    DATA,
    OUTPUT_SIZE,
    PICTURES,
    SETTLE_SECONDS,
    TITLE,
    largest,
    wait_for_windows,
    write_pictures,
)

PICTURE_SIZE = (480, 270)
SCREEN_SIZE = (1200, 700)
WIDE_SIZE = (1280, 720)
WIDE_SCREEN = (1720, 960)
"""Room for that picture at one to one beside the settings."""
DEMONSTRATION_PART = (100, 100, 400, 300)
"""Left, top, width and height of a part of the screen that the demonstration fills."""
DEAD_KEYS = 20
DEAD_KEY_LIMIT_MS = 20.0
"""A frame of this window takes more on the two cores that also draw, and a turn of the panels far less."""
LARGE_SIZE = (3840, 2160)
DEAD_KEY_LARGE_LIMIT_MS = 10.0
"""Bringing such a picture to the adapter and reducing it again takes over 20 ms, a turn of the panels 2."""
FINDINGS_GOAL_MS = 100.0
FINDINGS_LIMIT_MS = 1000.0
"""From here on a user loses the thread; the driver draws on the two cores that also check."""
FINDINGS_PART = (0, 420, 860, 130)
"""The same of the list of findings under the picture."""
VERDICT_PART = (60, 40, 800, 80)
"""The same of the line that is to be read from the glass."""
BRIGHT_PIXELS = 3000
"""More than the panels have, fewer than the picture of the demonstration has."""


@dataclass
class Window:
    """The running window with the files it works on."""

    desktop: Desktop
    program: str
    folder: Path
    slide: str = "one.png"
    compared: int = 0
    origin: tuple[int, int] | None = None
    failures: list[str] = field(default_factory=list)

    def expected(self, view: str) -> Frame:
        """The picture that `compose` makes from the setup as the window saved it."""
        out = self.folder / "expected.png"
        command = [self.program, "compose", "--engine", "cpu", "--setup", "nightglass.toml"]
        command += ["--camera", "camera.png", "--slide", self.slide, "--view", view]
        run = subprocess.run(
            [*command, "--out", str(out)], cwd=self.folder, capture_output=True, text=True
        )
        if run.returncode != 0:
            raise RuntimeError(f"compose failed: {run.stderr}")
        return np.asarray(Image.open(out))

    def save(self) -> None:
        """Save from the window and wait until the file is as it stays."""
        self.desktop.keys("ctrl+s")
        setup = self.folder / "nightglass.toml"
        before = b""
        end = time.monotonic() + 2.0
        while time.monotonic() < end:
            time.sleep(0.15)
            now = setup.read_bytes() if setup.exists() else b""
            if now and now == before:
                return
            before = now

    def find(self, picture: Frame) -> tuple[int, int]:
        """Where the picture is on the screen."""
        match = cv2.matchTemplate(self.desktop.look(), picture, cv2.TM_SQDIFF)
        _, _, place, _ = cv2.minMaxLoc(match)
        return place

    def shown(self) -> Frame:
        """What stands on the screen where the picture is."""
        x, y = self.origin or (0, 0)
        return self.desktop.look(x, y, *PICTURE_SIZE)

    def check(self, name: str, matches: Callable[[Frame], int]) -> None:
        """Wait until the screen matches; `matches` gives the largest difference in codes."""
        end = time.monotonic() + SETTLE_SECONDS
        while True:
            difference = matches(self.shown())
            if difference <= 1 or time.monotonic() > end:
                break
            time.sleep(0.1)
        verdict = "pass" if difference <= 1 else "FAIL"
        print(f"{name:<52} {difference:>4}  {verdict}", flush=True)
        if difference > 1:
            self.failures.append(name)
            Image.fromarray(self.desktop.look()).save(self.folder / f"{name.replace(' ', '_')}.png")
        self.compared += PICTURE_SIZE[0] * PICTURE_SIZE[1]

    def check_view(self, name: str, view: str) -> None:
        """One view over the whole picture."""
        self.save()
        expected = self.expected(view)
        if self.origin is None:
            time.sleep(1.0)
            self.origin = self.find(expected)
        self.check(name, lambda shown: largest(shown, expected))

    def check_divided(self, name: str, left: str, right: str, at: float) -> None:
        """Two views with a dividing line; a few columns round it belong to the line and its grip."""
        self.save()
        one, other = self.expected(left), self.expected(right)
        time.sleep(0.5)
        # The second row of the bar at the top moves the picture down.
        self.origin = self.find(one[:, : PICTURE_SIZE[0] // 4 - 20])
        line = round(at * PICTURE_SIZE[0])
        margin = 14
        def matches(shown: Frame) -> int:
            before, after = slice(0, line - margin), slice(line + margin, None)
            return max(
                largest(shown[:, before], one[:, before]),
                largest(shown[:, after], other[:, after]),
            )
        self.check(name, matches)


def check_adapter_told(window: Window) -> None:
    """Where no graphics card draws, the window says so once and until the message is closed; `compose` knows."""
    command = [window.program, "compose", "--engine", "gpu", "--camera", "camera.png"]
    command += ["--slide", "one.png", "--out", str(window.folder / "adapter.png")]
    run = subprocess.run(command, cwd=window.folder, check=True, capture_output=True, text=True)
    expected = int("is no graphics card" in run.stderr)
    # Until the slides are checked, which changes what is seen too.
    time.sleep(3.0)
    told = 0
    before = window.desktop.look()
    for _ in range(3):
        window.desktop.keys("Escape")
        time.sleep(0.7)
        told += int(largest(before, before := window.desktop.look()) > 0)
    verdict = "pass" if told == expected else "FAIL"
    name = "messages about the adapter, none on a graphics card"
    print(f"{name:<52} {told:>4}  {verdict}", flush=True)
    if told != expected:
        window.failures.append(name)


def steps(window: Window) -> None:
    """The dozen and more things that are tried in the window."""
    keys, type_text = window.desktop.keys, window.desktop.type
    width, height = PICTURE_SIZE

    keys("c", "o")
    window.check_view("first picture, one to one", "composite")
    keys("Right")
    window.slide = "two.png"
    window.check_view("Right steps to the next slide", "composite")
    keys("Page_Up")
    window.slide = "one.png"
    window.check_view("Page Up steps back", "composite")
    keys("t")
    type_text("8.5")
    keys("Return")
    window.check_view("a threshold is typed", "composite")
    keys("s")
    type_text("12")
    keys("Return")
    window.check_view("a softness is typed", "composite")
    for key, view in [("2", "matte"), ("3", "camera"), ("4", "slide"), ("5", "kept")]:
        keys(key)
        window.check_view(f"{key} shows {view}", view)
    keys("6")
    window.check_view("6 shows exposure", "exposure")
    keys("1", "ctrl+z")
    window.check_view("Ctrl Z takes the softness back", "composite")
    keys("ctrl+shift+z")
    window.check_view("Ctrl Shift Z brings it again", "composite")
    keys("ctrl+2")
    window.check_divided("a dividing line with the matte right", "composite", "matte", 0.5)
    x, y = window.origin or (0, 0)
    # The grip of the line is in the middle of its height.
    window.desktop.drag(x + width // 2, y + height // 3, x + width // 4, y + height // 3)
    window.check_divided("the line is dragged to a quarter", "composite", "matte", 0.25)
    keys("ctrl+0")
    time.sleep(0.5)
    window.origin = window.find(window.expected("composite"))
    window.check_view("one view again", "composite")
    x, y = window.origin
    window.desktop.point(x + width // 2, y + height // 2)
    window.desktop.xdotool("click", "4")
    keys("f", "o")
    window.check_view("wheel, fit and one to one again", "composite")
    keys("d")
    bright = window.expected("composite")
    darker = lambda shown: 0 if shown.mean() < 0.8 * bright.mean() else 255
    window.check("dimming darkens the picture too", darker)
    keys("d")
    window.check_view("and undimmed it is as it was", "composite")
    keys("question")
    time.sleep(0.5)
    window.origin = window.find(window.expected("composite"))
    window.check_view("the sheet of keys covers nothing", "composite")
    keys("question")
    time.sleep(0.5)
    window.origin = window.find(window.expected("composite"))
    window.check_view("the sheet is closed again", "composite")
    # What another window has wiped is drawn again, though it is the same.
    expected = window.expected("composite")
    x, y = window.origin
    # Left by the pointer, the picture would change the read-out.
    window.desktop.point(window.desktop.width - 3, 3)
    time.sleep(0.5)
    window.desktop.wipe(x, y, width, height)
    window.check("wiped by another window, drawn again", lambda shown: largest(shown, expected))


def time_change(desktop: Desktop, look: Callable[[], Frame], chords: list[list[str]], pause_s: float) -> float | None:
    """Median milliseconds from keys to a change of what is looked at, with a pause after each.

    None where one of them changes nothing within five seconds.
    """
    taken = []
    for chord in chords:
        before = look()
        start = time.perf_counter()
        desktop.press(*chord)
        while largest(look(), before) == 0:
            if time.perf_counter() - start > 5.0:
                return None
        taken.append(1000.0 * (time.perf_counter() - start))
        time.sleep(pause_s)
    return float(np.median(taken))


def time_keys(window: Window) -> tuple[float, float]:
    """Median milliseconds from a key to a changed picture: another view; a step of the slider."""

    def median_of(chords: list[list[str]]) -> float:
        taken = time_change(window.desktop, window.shown, chords, 0.1)
        if taken is None:
            raise RuntimeError("a key changed nothing")
        return taken

    views = median_of([["2"], ["1"]] * 8)
    # The slider stands before the field that T gives the keyboard to.
    window.desktop.keys("t", "shift+Tab")
    time.sleep(0.3)
    return views, median_of([["minus"]] * 8)


def drive_window(program: str, folder: Path) -> tuple[int, list[str]]:
    """The window with its panels: every step, then the time from a key to the screen."""
    write_pictures(folder, PICTURE_SIZE)
    with Desktop(*SCREEN_SIZE) as desktop:
        command = [program, "preview", "one.png", "two.png", "--camera", "camera.png"]
        (folder / "nightglass.toml").write_text("[key]\nthreshold = 6\n")
        running = desktop.start(command, folder)
        try:
            desktop.focus(TITLE)
            desktop.point(desktop.width - 3, 3)
            window = Window(desktop, program, folder)
            check_adapter_told(window)
            steps(window)
            view_ms, step_ms = time_keys(window)
            # The rest of the deck is checked once nothing has changed for 400 ms.
            time.sleep(2.0)
            idle_ms = cpu_ms(running.pid)
            time.sleep(3.0)
            idle_ms = cpu_ms(running.pid) - idle_ms
            print(f"from a key to another view on the screen: {view_ms:.0f} ms, median of 16")
            print(f"from a step of the threshold to the screen: {step_ms:.0f} ms, median of 8")
            print(f"processor time while idle for 3 s: {idle_ms} ms")
            # Keys that mean nothing change nothing that is seen, and what is the same is not drawn again.
            dead_ms = dead_key_ms(desktop, running.pid)
            print(f"processor time for a key that means nothing: {dead_ms:.0f} ms")
            if dead_ms > DEAD_KEY_LIMIT_MS:
                window.failures.append("a key that means nothing has the window drawn")
            # Under 2 % of one core. A clock tick is 10 ms, and the clock of the followed files ticks too.
            if idle_ms > 60:
                window.failures.append("idle costs processor time")
            desktop.keys("ctrl+q")
            time.sleep(1.0)
            if running.poll() is not None:
                window.failures.append("unsaved changes were not asked about")
            desktop.keys("ctrl+s", "ctrl+q")
            if running.wait(timeout=10) != 0:
                window.failures.append("the window did not end with 0")
        finally:
            running.kill()
    return window.compared, window.failures


def cpu_ms(pid: int) -> int:
    """Processor time that a process has used. Source: proc(5), fields 14 and 15 of stat."""
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    ticks = int(fields[11]) + int(fields[12])
    return 1000 * ticks // os.sysconf("SC_CLK_TCK")


def dead_key_ms(desktop: Desktop, pid: int) -> float:
    """Processor time in milliseconds that a key that means nothing costs, mean of some."""
    before = cpu_ms(pid)
    for _ in range(DEAD_KEYS):
        desktop.press("F9")
        time.sleep(0.05)
    return (cpu_ms(pid) - before) / DEAD_KEYS


def drive_large_output(program: str, folder: Path) -> tuple[float, list[str]]:
    """What the clean output shows already is not made ready for it with every turn of the window.

    Gives the milliseconds of processor time for a key that means nothing.
    """
    write_pictures(folder, LARGE_SIZE)
    with Desktop(*OUTPUT_SIZE) as desktop:
        command = [program, "preview", "one.png", "--camera", "camera.png", "--clean-output", "1"]
        running = desktop.start(command, folder)
        try:
            wait_for_windows(desktop, 2)
            desktop.focus("nightglass: clean output")
            # Until the slide and the camera are checked.
            busy, end = -1, time.monotonic() + 30.0
            while busy != (busy := cpu_ms(running.pid)) and time.monotonic() < end:
                time.sleep(2.0)
            dead_ms = dead_key_ms(desktop, running.pid)
        finally:
            running.kill()
    failed = dead_ms > DEAD_KEY_LARGE_LIMIT_MS
    return dead_ms, ["a key that means nothing has the clean output made again"] * failed


def write_flat_slide(path: Path, grey: int) -> None:
    """A slide of one grey with a white square, written beside and renamed as programs do."""
    frame = np.full((*PICTURE_SIZE[::-1], 3), grey, np.uint8)
    frame[100:160, 200:280] = 255
    beside = path.with_suffix(".part")
    Image.fromarray(frame).save(beside, format="PNG")
    beside.rename(path)


def drive_findings(program: str, folder: Path) -> list[str]:
    """A finding is marked at its place and accepted by a key; an exported slide is shown again in time."""
    failures = []
    write_pictures(folder, PICTURE_SIZE)
    slide = folder / "deck" / "one.png"
    slide.parent.mkdir(exist_ok=True)
    write_flat_slide(slide, 160)
    (folder / "nightglass.toml").write_text('camera = "camera.png"\nslides = ["deck"]\n')
    with Desktop(*SCREEN_SIZE) as desktop:
        running = desktop.start([program], folder)
        try:
            desktop.focus(TITLE)
            desktop.point(desktop.width - 3, 3)
            time.sleep(2.0)
            window = Window(desktop, program, folder)
            desktop.keys("o")
            time.sleep(1.0)
            desktop.keys("c")
            time.sleep(1.0)
            # Where the picture is without the list; the grey covers everything.
            flat = np.full((*PICTURE_SIZE[::-1], 3), 160, np.uint8)
            flat[100:160, 200:280] = 255
            window.origin = window.find(flat)
            x, y = window.origin
            plain = window.shown()
            desktop.keys("n")
            time.sleep(1.0)
            window.origin = window.find(flat[20:-20, 20:-20])
            # A bright background is a finding of the whole slide: outlined just inside its edges.
            left, top = window.origin[0] - 20, window.origin[1] - 20
            marked = desktop.look(left, top, *PICTURE_SIZE)
            differs = np.abs(marked.astype(np.int16) - plain.astype(np.int16)).max(axis=2) > 30
            rows, columns = np.nonzero(differs)
            edges = (columns.min(), rows.min(), columns.max(), rows.max()) if rows.size else ()
            box = tuple(int(edge) for edge in edges)
            expected = (1, 1, PICTURE_SIZE[0] - 2, PICTURE_SIZE[1] - 2)
            is_there = len(box) == 4 and max(abs(a - b) for a, b in zip(box, expected)) <= 3
            print(f"the whole slide is outlined at {box}  {'pass' if is_there else 'FAIL'}")
            if not is_there:
                failures.append("the finding's outline is at another place")
            desktop.keys("a")
            window.save()
            setup = (folder / "nightglass.toml").read_text()
            is_kept = 'slide = "one.png"' in setup and 'kind = "not-dark"' in setup
            print(f"A accepts it, and the setup keeps that  {'pass' if is_kept else 'FAIL'}")
            if not is_kept:
                failures.append("the accepted finding is not in the setup")
            desktop.keys("c")
            time.sleep(1.0)
            window.origin = (x, y)
            times = []
            for grey in [200, 120, 220, 100, 180]:
                write_flat_slide(slide, grey)
                start = time.perf_counter()
                while abs(int(desktop.look(x + 20, y + 20, 1, 1)[0, 0, 0]) - grey) > 1:
                    if time.perf_counter() - start > 5.0:
                        raise RuntimeError("an exported slide is not shown again")
                times.append(1000.0 * (time.perf_counter() - start))
                time.sleep(0.6)
            print(f"from the last write of a slide to the screen: {max(times):.0f} ms, largest of 5")
            if max(times) > 250.0:
                failures.append("a slide exported again is shown too late")
        finally:
            running.kill()
    return failures


def drive_overlays_and_zones(program: str, folder: Path) -> list[str]:
    """Overlays change pixels where `inspect` finds what they show; a zone drawn with the pointer is saved as drawn."""
    failures: list[str] = []
    write_pictures(folder, WIDE_SIZE)
    setup = folder / "nightglass.toml"
    setup.write_text('camera = "camera.png"\nslides = ["one.png"]\n[key]\nthreshold = 60\n')
    inspect = [program, "inspect", "camera.png", "--masks", "masks", "--json", "--fail-on", "fail"]
    subprocess.run(inspect, cwd=folder, capture_output=True)
    masks = {
        part: np.asarray(Image.open(folder / "masks" / f"{part}.png").convert("L")) > 127
        for part in ("writing", "presenter")
    }

    def tell(name: str, is_good: bool, words: str) -> None:
        print(f"{name:<52} {words}  {'pass' if is_good else 'FAIL'}")
        if not is_good:
            failures.append(name)

    with Desktop(*WIDE_SCREEN) as desktop:
        running = desktop.start([program], folder)
        try:
            # There is no window manager: the window is as large as it opens until it is told otherwise.
            number = desktop.focus(TITLE)
            desktop.xdotool("windowsize", number, *map(str, WIDE_SCREEN))
            desktop.point(desktop.width - 3, 3)
            time.sleep(4.0)
            desktop.keys("c", "o", "3")
            time.sleep(1.0)
            camera = np.asarray(Image.open(folder / "camera.png").convert("RGB"))
            window = Window(desktop, program, folder)
            x, y = window.find(camera)
            width, height = WIDE_SIZE
            look = lambda: desktop.look(x, y, width, height).astype(np.int16)
            plain = look()
            for key, part in [("7", "writing"), ("8", "presenter")]:
                desktop.keys(key)
                time.sleep(1.0)
                changed = np.abs(look() - plain).max(axis=2) > 24
                # The name of the overlay stands above the part, so a little beside is expected.
                near = cv2.dilate(masks[part].astype(np.uint8), np.ones((41, 41), np.uint8)) > 0
                rim = near & ~cv2.erode(masks[part].astype(np.uint8), np.ones((9, 9), np.uint8)).astype(bool)
                share = np.count_nonzero(changed & near) / max(np.count_nonzero(changed), 1)
                drawn = np.count_nonzero(changed & rim)
                outline = cv2.Canny(masks[part].astype(np.uint8) * 255, 50, 150) > 0
                around = cv2.dilate(changed.astype(np.uint8), np.ones((25, 25), np.uint8)) > 0
                covered = np.count_nonzero(outline & around) / max(np.count_nonzero(outline), 1)
                is_good = share > 0.9 and drawn > 200 and covered > 0.95
                words = f"{100 * share:.0f} % of it there, along {100 * covered:.0f} % of the outline"
                tell(f"{key} draws round the {part}", is_good, words)
                desktop.keys(key)
                time.sleep(1.0)
                left = int(np.abs(look() - plain).max())
                tell(f"{key} again takes it away", left <= 1, f"{left} codes left")
            desktop.keys("w")
            time.sleep(0.5)
            ends = [(width // 5, height // 4), (width // 2, height // 2)]
            (left, top), (right, bottom) = ends
            desktop.drag(x + left, y + top, x + right, y + bottom)
            time.sleep(0.5)
            window.save()
            zones = tomllib.loads(setup.read_text()).get("zones", [])
            expected = [
                100 * left / width,
                100 * top / height,
                100 * (right - left) / width,
                100 * (bottom - top) / height,
            ]
            box = zones[0]["box"] if zones else []
            off = max((abs(a - b) for a, b in zip(box, expected)), default=100.0)
            # A pixel is a tenth of a percent, and the pointer is somewhere in it.
            tell("a zone that the pointer draws is saved", off <= 0.25, f"{box}, off by {off:.2f} %")
            inside = (x + (left + right) // 2, y + (top + bottom) // 2)
            desktop.drag(*inside, inside[0] + width // 10, inside[1] + height // 10)
            time.sleep(0.5)
            window.save()
            zones = tomllib.loads(setup.read_text()).get("zones", [])
            moved = zones[0]["box"] if zones else [0.0, 0.0]
            off = max(abs(moved[0] - box[0] - 10.0), abs(moved[1] - box[1] - 10.0)) if box else 100.0
            tell("a drag moves it by a tenth", off <= 0.25, f"{moved}, off by {off:.2f} %")
            desktop.keys("ctrl+z", "ctrl+z")
            window.save()
            is_gone = "zones" not in tomllib.loads(setup.read_text())
            tell("undo twice takes it out of the setup", is_gone, "")
        finally:
            running.kill()
    return failures


def drive_like(program: str, folder: Path) -> tuple[float, list[str]]:
    """A camera that is moved while the window compares it: the line to be read from the glass changes by itself.

    Gives the largest milliseconds from the last write of the camera picture to the changed line.
    """
    failures: list[str] = []
    picture = np.asarray(Image.open(PICTURES / "camera.jpg").convert("RGB"))
    camera = folder / "camera.png"

    def write(frame: Frame) -> None:
        beside = camera.with_suffix(".part")
        Image.fromarray(frame).save(beside, format="PNG")
        beside.rename(camera)

    write(picture)
    Image.fromarray(picture).save(folder / "good.png")
    (folder / "nightglass.toml").write_text('camera = "camera.png"\nlike = "good.png"\n')
    times = []
    with Desktop(*SCREEN_SIZE) as desktop:
        running = desktop.start([program], folder)
        try:
            desktop.focus(TITLE)
            desktop.point(desktop.width - 3, 3)
            time.sleep(3.0)
            desktop.keys("i")
            time.sleep(1.0)
            look = lambda: desktop.look(*VERDICT_PART)
            steady = look()
            # Mirrored, moved, and as it was.
            for name, frame in [
                ("mirrored", np.ascontiguousarray(picture[:, ::-1])),
                ("moved", np.roll(picture, (9, 14), axis=(0, 1))),
                ("put back", picture),
            ]:
                before = seen = look()
                write(frame)
                start = last = time.perf_counter()
                # The line first says that it is old, then what has changed.
                while time.perf_counter() - start < SETTLE_SECONDS:
                    time.sleep(0.01)
                    now = look()
                    if largest(now, seen) > 0:
                        seen, last = now, time.perf_counter()
                taken = 1000.0 * (last - start)
                times.append(taken)
                is_steady = largest(seen, steady) == 0
                is_good = largest(seen, before) > 0 and is_steady == (name == "put back")
                print(f"the camera is {name}, told after {taken:.0f} ms  {'pass' if is_good else 'FAIL'}")
                if not is_good:
                    failures.append(f"the window does not tell that the camera is {name}")
        finally:
            running.kill()
    return max(times), failures


def time_first_picture(program: str, folder: Path) -> float:
    """Median time in milliseconds from the start of the program to the first picture on the screen."""
    times = []
    for _ in range(5):
        with Desktop(*SCREEN_SIZE) as desktop:
            start = time.perf_counter()
            running = desktop.start([program], folder)
            try:
                # The handwriting and the presenter are the brightest things; panels alone are not enough.
                while np.count_nonzero(desktop.look().max(axis=2) > 180) < BRIGHT_PIXELS:
                    if time.perf_counter() - start > 20.0:
                        raise RuntimeError("no picture within 20 s")
                    time.sleep(0.005)
                times.append(1000.0 * (time.perf_counter() - start))
            finally:
                running.kill()
    return float(np.median(times))


def time_demonstration(program: str, folder: Path) -> float:
    """Median milliseconds from a step of the threshold to the changed picture of 1920x1080."""
    with Desktop(*SCREEN_SIZE) as desktop:
        running = desktop.start([program], folder)
        try:
            desktop.focus(TITLE)
            time.sleep(2.0)
            # The third slide's grey background changes with every step.
            desktop.keys("Right", "Right", "t", "shift+Tab")
            time.sleep(1.0)
            # Below 3.5 % all of it is solid, and nothing changes any more.
            step = time_change(desktop, lambda: desktop.look(*DEMONSTRATION_PART), [["minus"]] * 5, 0.2)
            if step is None:
                raise RuntimeError("a step of the threshold changed nothing")
            return step
        finally:
            running.kill()


ZONES = """
camera = "camera.jpg"
slides = ["slide_4_lands_on_writing.png"]
[[zones]]
name = "station clock"
kind = "keep-out"
box = [0, 0, 100, 100]
[[zones]]
name = "chart table"
kind = "keep-in"
box = [0, 0, 100, 100]
[[zones]]
name = "sum of the angles"
kind = "write-here"
box = [0, 0, 100, 100]
"""
"""Pictures of the demonstration, with a zone of each kind all over them."""
CLOSEST_STEPS = 40
"""More than lead from the whole picture to the largest zoom."""


def time_close_up(program: str, folder: Path) -> float:
    """Median milliseconds from a key to the moved picture at the largest zoom, with zones and all overlays."""
    for name in ["camera.jpg", "slide_4_lands_on_writing.png"]:
        (folder / name).write_bytes((PICTURES / name).read_bytes())
    (folder / "nightglass.toml").write_text(ZONES)
    with Desktop(*WIDE_SCREEN) as desktop:
        running = desktop.start([program], folder)
        try:
            number = desktop.focus(TITLE)
            desktop.xdotool("windowsize", number, *map(str, WIDE_SCREEN))
            desktop.point(desktop.width - 3, 3)
            time.sleep(4.0)
            # The list of findings is closed, so that the checks of a moved picture change nothing.
            desktop.keys("c", "7", "8", "9", "0", *["ctrl+plus"] * CLOSEST_STEPS)
            time.sleep(2.0)
            sideways = [["Control_L", "Right"], ["Control_L", "Left"]]
            moved = time_change(desktop, lambda: desktop.look(*DEMONSTRATION_PART), sideways * 5, 0.3)
            if moved is None:
                raise RuntimeError("the picture was not moved")
            return moved
        finally:
            running.kill()


def time_findings(program: str, folder: Path) -> float | None:
    """Median milliseconds from a step of the threshold to changed findings of 1920x1080 in the list.

    None where no finding changed with the key.
    """
    with Desktop(*SCREEN_SIZE) as desktop:
        running = desktop.start([program], folder)
        try:
            desktop.focus(TITLE)
            time.sleep(3.0)
            # The haze of the third slide changes with every step.
            desktop.keys("Right", "Right", "t", "shift+Tab")
            time.sleep(2.0)
            return time_change(desktop, lambda: desktop.look(*FINDINGS_PART), [["minus"]] * 5, 0.5)
        finally:
            running.kill()


def main() -> int:
    """Drive, compare, measure; 1 if anything is wrong."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("program", type=lambda name: str(Path(name).resolve()))
    parser.add_argument("--keep", type=Path, help="folder for screenshots of what failed")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = arguments.keep or Path(temporary)
        folder.mkdir(parents=True, exist_ok=True)
        compared, failures = drive_window(arguments.program, folder)
        more, more_failures = drive_clean_output(arguments.program, folder)
        with tempfile.TemporaryDirectory() as separate:
            dead_ms, failures_of_large = drive_large_output(arguments.program, Path(separate))
            failures += failures_of_large
        with tempfile.TemporaryDirectory() as separate:
            failures += drive_findings(arguments.program, Path(separate))
        with tempfile.TemporaryDirectory() as separate:
            failures += drive_overlays_and_zones(arguments.program, Path(separate))
        with tempfile.TemporaryDirectory() as separate:
            told, more_of_like = drive_like(arguments.program, Path(separate))
            failures += more_of_like
        with tempfile.TemporaryDirectory() as empty:
            first = time_first_picture(arguments.program, Path(empty))
            step = time_demonstration(arguments.program, Path(empty))
            found = time_findings(arguments.program, Path(empty))
        with tempfile.TemporaryDirectory() as separate:
            close_up = time_close_up(arguments.program, Path(separate))
    print(f"processor time for a key that means nothing beside a clean output of 3840x2160: {dead_ms:.0f} ms")
    print(f"first picture: {first:.0f} ms after the start, median of 5")
    print(f"from a step of the threshold to 1920x1080 on the screen: {step:.0f} ms, median of 5")
    print(f"from a key to the picture moved at the largest zoom: {close_up:.0f} ms, median of 10")
    print(f"from the last write of a moved camera picture to the line that tells it: {told:.0f} ms, largest of 3")
    if found is None:
        failures.append("no finding changed with the key")
    else:
        missed = "" if found <= FINDINGS_GOAL_MS else f"; the goal of {FINDINGS_GOAL_MS:.0f} is missed"
        print(f"from a step of the threshold to findings of 1920x1080: {found:.0f} ms, median of 5{missed}")
        if found > FINDINGS_LIMIT_MS:
            failures.append("findings come too late while the key is dragged")
    failures += more_failures
    total = compared + more
    print(f"window: {total} pixels compared, {len(failures)} steps failed")
    for name in failures:
        print(f"failed: {name}")
    return int(bool(failures) or total == 0)


if __name__ == "__main__":
    sys.exit(main())
