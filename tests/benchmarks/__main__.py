"""Print every measurement: ours beside a reference or a limit, taken in one run."""

import importlib
import pkgutil
import sys

from tests import benchmarks


def main(chosen: list[str]) -> None:
    """Run the benchmarks named, else all of them."""
    for module in pkgutil.iter_modules(benchmarks.__path__):
        if module.name.startswith("_") or (chosen and module.name not in chosen):
            continue
        measured = importlib.import_module(f"tests.benchmarks.{module.name}")
        if not hasattr(measured, "measure"):
            continue
        print(f"\n{module.name.replace('_', ' ')}: {(measured.__doc__ or '').splitlines()[0]}")
        for label, text in measured.measure():
            print(f"  {label:<58} {text}")


main(sys.argv[1:])
