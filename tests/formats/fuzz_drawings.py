"""A long search for files that a reader of drawings fails on.

    python -m tests.formats.fuzz_drawings --minutes 5 [--kind dxf] [--seed 1] [--keep DIR]

With atheris each input is grown by what it reaches in the readers (one kind at a time); without, inputs are mutated by
chance. Anything but a Drawing or a FormatError, or more than 20 s of the processor, is a failure, kept and told.
"""

from __future__ import annotations

import argparse
import importlib
import random
import sys
import time
import traceback
import warnings
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from fieldapp import formats
from fieldapp.errors import FormatError
from fieldapp.formats.drawing import Drawing, DrawingLimits, read_drawing
from tests.formats.drawing_files import samples
from tests.formats.drawing_mutations import mutated

Reading = Callable[[str, bytes, DrawingLimits], Drawing]
LIMITS = DrawingLimits(most_points=20_000, most_lines=2_000)
LONGEST_S = 20.0


def outcome(name: str, content: bytes, read: Reading = read_drawing) -> str:
    """Read a file; return "read" or "refused", or the traceback of anything else."""
    began = time.process_time()
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            found = read(name, content, LIMITS)
        assert found.lines or found.spots
        came_to = "read"
    except FormatError as fault:
        came_to = "refused" if "\n" not in str(fault) else f"refused in more than one line: {fault}"
    except BaseException:
        if sys.exc_info()[0] is KeyboardInterrupt:
            raise
        return traceback.format_exc()
    took = time.process_time() - began
    return came_to if took < LONGEST_S else f"took {took:.0f} s"


def search(kind: str, minutes: float, seed: int, keep: Path) -> int:
    """Mutate valid files of a kind by chance; return how many failed."""
    chance, counted, failures, slowest = random.Random(seed), Counter(), 0, 0.0
    names = [name for name in samples() if name.endswith(kind)]
    end = time.monotonic() + 60 * minutes
    while time.monotonic() < end:
        name = chance.choice(names)
        content = mutated(samples()[name], chance, samples())
        began = time.monotonic()
        came_to = outcome(name, content)
        slowest = max(slowest, time.monotonic() - began)
        if came_to not in ("read", "refused"):
            failures += 1
            keep.mkdir(parents=True, exist_ok=True)
            (keep / f"{seed}-{failures}-{name}").write_bytes(content)
            print(name, came_to, flush=True)
            came_to = "failed"
        counted[came_to] += 1
    print(f"{kind or 'all kinds'}: {dict(counted)}, slowest {slowest:.1f} s", flush=True)
    return failures


def grown(kind: str, minutes: float) -> None:
    """Have atheris grow inputs by what they reach; it ends the process by itself."""
    import atheris

    for module in [name for name in sys.modules if name.startswith("fieldapp.formats.drawing")]:
        del sys.modules[module]
    with atheris.instrument_imports(include=["fieldapp.formats"]):
        for file in sorted(Path(formats.__file__).parent.glob("drawing*.py")):
            importlib.import_module(f"fieldapp.formats.{file.stem}")
    read = sys.modules["fieldapp.formats.drawing"].read_drawing

    def one(content: bytes) -> None:
        came_to = outcome(f"x{kind}", content, read)
        if came_to not in ("read", "refused"):
            raise RuntimeError(came_to)

    corpus = Path(f"fuzz-corpus{kind}")
    corpus.mkdir(exist_ok=True)
    for name, content in samples().items():
        if name.endswith(kind):
            (corpus / name).write_bytes(content)
    options = [
        sys.argv[0],
        f"-max_total_time={60 * minutes:.0f}",
        "-max_len=40000",
        "-rss_limit_mb=1500",
        str(corpus),
    ]
    atheris.Setup(options, one)
    atheris.Fuzz()


def main() -> None:
    """Search as the command line asks."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--minutes", type=float, default=5.0)
    asked.add_argument("--kind", default="", help="how the names of the files to begin from end, such as dxf")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--keep", type=Path, default=Path("fuzz-failures"))
    asked.add_argument("--by-chance", action="store_true", help="without atheris, even where it is installed")
    options = asked.parse_args()
    try:
        import atheris  # noqa: F401
    except ImportError:
        options.by_chance = True
    if options.by_chance:
        sys.exit(1 if search(options.kind, options.minutes, options.seed, options.keep) else 0)
    grown(options.kind, options.minutes)


if __name__ == "__main__":
    main()
