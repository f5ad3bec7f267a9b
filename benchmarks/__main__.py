"""Runs one benchmark by name: ``python -m benchmarks NAME …``.

Duty: find the benchmarks (modules of this package with a ``main``) and hand over the arguments. It must not measure.
"""

from __future__ import annotations

import ast
import importlib
import sys
from pathlib import Path

from voicefit.errors import VoicefitError


def benchmarks() -> dict[str, str]:
    """Name of each benchmark with the first line of its docstring; nothing is imported to find out."""
    found = {}
    for path in sorted(Path(__file__).parent.glob("[!_]*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if any(isinstance(node, ast.FunctionDef) and node.name == "main" for node in tree.body):
            found[path.stem] = (ast.get_docstring(tree) or "").split("\n")[0]
    return found


def main(argv: list[str]) -> int:
    """Exit code of the benchmark; 2 for an unknown name or an error with a plain sentence on stderr."""
    names = benchmarks()
    if not argv or argv[0] in ("-h", "--help"):
        print("usage: python -m benchmarks NAME [options]   (NAME --help for its options)\n")
        for name, line in names.items():
            print(f"  {name:<14}{line}")
        return 0
    if argv[0] not in names:
        print(f"no benchmark is called {argv[0]}; there are {', '.join(names)}", file=sys.stderr)
        return 2
    try:
        code: int = importlib.import_module(f"benchmarks.{argv[0]}").main(argv[1:])
    except VoicefitError as error:
        print(error, file=sys.stderr)
        return 2
    return code


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
