"""Set everything up and pass the tests: lint, types, import contracts, and all tests.

Arguments go to pytest; with any, only pytest runs: `python3 .ci/test.py tests/routing -k tree`.
"""

import os
import subprocess
import sys
import time

from environment import ROOT, prepare


def main() -> int:
    python = str(prepare("test"))
    scripts = ROOT / ".venv" / ("Scripts" if os.name == "nt" else "bin")
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "PYTHONHASHSEED": "random"}
    pytest = [python, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile"]
    benchmarks = [python, "-m", "pytest", "-q", "-s", "tests/benchmarks"]
    steps = [
        ("layout of the code", [python, "-m", "ruff", "format", "--check", "."]),
        ("lint", [python, "-m", "ruff", "check", "."]),
        ("types", [python, "-m", "mypy"]),
        ("import contracts", [str(scripts / "lint-imports"), "--no-cache"]),
        ("tests", [*pytest, "--ignore=tests/benchmarks"]),
        ("benchmarks, alone on the machine", benchmarks),
    ]
    if len(sys.argv) > 1:
        steps = [("tests", [python, "-m", "pytest", *sys.argv[1:]])]
    failed = []
    for name, command in steps:
        print(f"\n== {name}", flush=True)
        begun = time.monotonic()
        if subprocess.run(command, cwd=ROOT, env=environment, check=False).returncode:
            failed.append(name)
        print(f"   {time.monotonic() - begun:.0f} s", flush=True)
    print("\nFailed: " + ", ".join(failed) if failed else "\nAll passed.", flush=True)
    return 1 if failed else 0


if __name__ == "__main__":
    raise SystemExit(main())
