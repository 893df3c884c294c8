"""Set everything up and open the sample; without a display, write its takeoff instead."""

import subprocess
import sys

from environment import ROOT, has_display, prepare

SAMPLE = ROOT / "sample_plans" / "ferry-terminal.drawcord"


def main() -> int:
    window = has_display() and "--headless" not in sys.argv
    drawcord = [str(prepare(window=window)), "-m", "app"]
    if window:
        return subprocess.run([*drawcord, "--sample"], cwd=ROOT, check=False).returncode
    print("No display here: checking the sample and writing its takeoff instead.\n", flush=True)
    subprocess.run([*drawcord, "check", str(SAMPLE)], cwd=ROOT, check=False)
    takeoff = ROOT / "build" / "ferry-terminal-takeoff.xlsx"
    takeoff.parent.mkdir(exist_ok=True)
    takeoff.unlink(missing_ok=True)
    command = [*drawcord, "takeoff", str(SAMPLE), "--out", str(takeoff)]
    return subprocess.run(command, cwd=ROOT, check=False).returncode


if __name__ == "__main__":
    raise SystemExit(main())
