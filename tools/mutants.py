"""Changes the core in small ways, one at a time, and asks whether a test notices: ``make mutants``.

The tests of the core run once under coverage, which tells the tests that run each line. Then, until the time is up,
places of the core are drawn at random and changed by an operator of cosmic-ray (a comparison, a sign, a number, a
condition, a loop) in a copy of the tree, and the tests that run this line are run there, the quickest first. A test
that fails kills the mutant; one that nothing kills survives and is printed.

Duty: draw, change, run, count. It must not change the tree that it stands in.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
import xml.etree.ElementTree as ET
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue
from typing import NamedTuple

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names
from coverage import CoverageData

TOP = Path(__file__).resolve().parent.parent
CORE = ("records", "quantities.py", "toml_data.py", "interpretation", "catalogue", "matching", "ordering", "dialogue")
TESTS = ("records", "catalogue", "interpretation", "matching", "ordering", "dialogue", "scenarios")
MOST_TIME = 0.4  # of the time that all tests of the core take, for one mutant
HANGS_S = 240.0
# Left out, as they change nothing: annotations are no code (|), enumerations are compared by either (is, ==).
NO_CHANGE = ("_BitOr", "BitOr_", "_Is", "Is_", "IsNot_", "Decorator", "Variable", "ExceptionReplacer")
FLAG = re.compile(r"^ *@dataclass|\b(repr|compare)=")  # how a value prints and compares is no behaviour of the core


class Mutant(NamedTuple):
    """The change of ``file`` (relative to the tree) by the operator named, at its ``occurrence``."""

    file: str
    operator: str
    occurrence: int
    line: int
    column: int


class Tests(NamedTuple):
    """``of_line``: the tests that run a line of a file; none: it runs on import. ``seconds`` by test."""

    of_line: Mapping[str, Mapping[int, frozenset[str]]]
    seconds: Mapping[str, float]


def core_files(only: str, rooms: Sequence[str]) -> list[str]:
    """The Python files of the core whose path begins with ``only``; of ``rooms`` alone, where there are any."""
    roots = [TOP / "voicefit" / name for name in CORE if not rooms or name in rooms]
    files = [f for root in roots for f in ([root] if root.suffix else sorted(root.rglob("*.py")))]
    return [name for f in files if (name := f.relative_to(TOP).as_posix()).startswith(only)]


def mutants_of(file: str) -> list[Mutant]:
    """All changes of a file that are not known to change nothing."""
    source = (TOP / file).read_text("utf-8")
    tree, lines = get_ast(source), source.splitlines()
    found = []
    for name in operator_names():
        if any(part in name for part in NO_CHANGE):
            continue
        operator = get_operator(name)()
        places = (place for node in ast_nodes(tree) for place in operator.mutation_positions(node))
        changes = [Mutant(file, name, n, *start) for n, (start, _) in enumerate(places)]
        found += [each for each in changes if not FLAG.search(lines[each.line - 1])]
    return found


def drawn(mutants: Iterable[Mutant], dice: random.Random) -> list[Mutant]:
    """One mutant of each place, in random order, so that a comparison with its seven weighs no more than a number."""
    at: dict[tuple[str, int, int], list[Mutant]] = defaultdict(list)
    for mutant in mutants:
        at[mutant.file, mutant.line, mutant.column].append(mutant)
    chosen = [dice.choice(at[place]) for place in sorted(at)]
    dice.shuffle(chosen)
    return chosen


def pytest(tree: Path, *arguments: str, seconds: float | None = None) -> tuple[int, str]:
    """Exit code of the tests run in a tree, 124 if they took longer, and what they printed."""
    command = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "--hypothesis-seed=0", *arguments]
    env = {**os.environ, "PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        ran = subprocess.run(command, cwd=tree, env=env, capture_output=True, text=True, timeout=seconds, check=False)
    except subprocess.TimeoutExpired:
        return 124, ""
    return ran.returncode, ran.stdout


def measured(tree: Path, rooms: Sequence[str]) -> Tests:
    """What the tests of the core run and how long they take. :raises SystemExit: a test fails as it is."""
    folders = [f"tests/{name}" for name in TESTS if not rooms or name in rooms]
    options = ["--cov=voicefit", "--cov-context=test", "--cov-report=", "--junitxml=times.xml"]
    code, printed = pytest(tree, *options, *folders)
    if code != 0:
        sys.exit(f"{printed[-2000:]}\nmutants: the tests of the core must pass before they are put to the test")
    data = CoverageData(str(tree / ".coverage"))
    data.read()
    of_line = {
        Path(file).relative_to(tree).as_posix(): {
            line: frozenset(context.rpartition("|")[0] for context in contexts if context)
            for line, contexts in data.contexts_by_lineno(file).items()
        }
        for file in data.measured_files()
    }
    cases = ET.parse(tree / "times.xml").iter("testcase")
    seconds = {_id_of(case.attrib): float(case.attrib["time"]) for case in cases}
    named = {test for lines in of_line.values() for tests in lines.values() for test in tests}
    return Tests(of_line, {**dict.fromkeys(named, 1.0), **seconds})


def _id_of(case: Mapping[str, str]) -> str:
    """A test as pytest is given it. One that looks at what another made runs no line, and is known by this alone."""
    return f"{case['classname'].replace('.', '/')}.py::{case['name']}"


def lines_of_statement(source: str, line: int) -> range:
    """The lines of the innermost statement at a line; of one with a body, those before the body."""
    spans = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or node.lineno):
            body = getattr(node, "body", None)
            end = body[0].lineno - 1 if body and body[0].lineno > line else node.end_lineno or node.lineno
            spans.append(range(node.lineno, max(end, node.lineno) + 1))
    return min((s for s in spans if line in s), key=len, default=range(line, line + 1))


def tests_for(mutant: Mutant, source: str, tests: Tests) -> list[str]:
    """The tests to try a mutant with: those that run it and those of its room, the quickest first."""
    lines = tests.of_line.get(mutant.file, {})
    running = frozenset[str]().union(
        *(lines.get(n, frozenset()) for n in lines_of_statement(source, mutant.line))
    ) or frozenset[str]().union(*lines.values())
    room = mutant.file.split("/")[1].removesuffix(".py")
    beside = {test for test in tests.seconds if test.startswith(f"tests/{room}/")}
    longest = MOST_TIME * sum(tests.seconds.values())
    chosen: list[str] = []
    for test in sorted(running | beside, key=lambda each: (tests.seconds[each], each)):
        longest -= tests.seconds[test]
        if longest < 0 and chosen:
            break
        chosen.append(test)
    return chosen


def killed(mutant: Mutant, tree: Path, tests: Tests) -> tuple[bool, str]:
    """Whether a test in ``tree`` notices, and the change."""
    source = (tree / mutant.file).read_text("utf-8")
    changed = mutate_code(source, get_operator(mutant.operator)(), mutant.occurrence) or source
    chosen = tests_for(mutant, source, tests)
    arguments = tree / "tests.txt"
    arguments.write_text("\n".join(chosen), "utf-8")
    (tree / mutant.file).write_text(changed, "utf-8")
    try:
        code, _ = pytest(tree, f"@{arguments}", seconds=HANGS_S) if chosen else (0, "")
    finally:
        (tree / mutant.file).write_text(source, "utf-8")
    became = next((b for a, b in zip(source.splitlines(), changed.splitlines(), strict=False) if a != b), "")
    return code != 0, f"{source.splitlines()[mutant.line - 1].strip()}   =>   {became.strip()}"


def copied(folder: Path) -> Path:
    """A copy of the tree's files, those that git knows and those that it does not ignore."""
    command = ["git", "ls-files", "--cached", "--others", "--exclude-standard"]
    for name in subprocess.run(command, cwd=TOP, capture_output=True, text=True, check=True).stdout.splitlines():
        if (TOP / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(TOP / name, folder / name)
    return folder


def run(
    mutants: Sequence[Mutant], workers: int, ends: float, folder: Path, rooms: Sequence[str]
) -> tuple[Counter[str], list[str]]:
    """Try mutants until the clock says ``ends``: how many were killed and survived by room, and the survivors."""
    trees: SimpleQueue[Path] = SimpleQueue()
    for n in range(workers):
        trees.put(copied(folder / str(n)))
    tests = measured(first := trees.get(), rooms)
    trees.put(first)
    counts: Counter[str] = Counter()
    survivors = []

    def attempt(mutant: Mutant) -> tuple[Mutant, bool, str] | None:
        if time.monotonic() > ends:
            return None
        tree = trees.get()
        try:
            return (mutant, *killed(mutant, tree, tests))
        finally:
            trees.put(tree)

    with ThreadPoolExecutor(workers) as pool:
        for result in filter(None, pool.map(attempt, mutants)):
            mutant, dead, change = result
            counts["killed" if dead else "survived"] += 1
            counts[f"{mutant.file.split('/')[1].removesuffix('.py')} {'killed' if dead else 'survived'}"] += 1
            if not dead:
                survivors.append(f"{mutant.file}:{mutant.line}: {change}")
                print(survivors[-1], flush=True)
    return counts, survivors


def main() -> None:
    """Parse the options, run, print; exit code 1 if fewer are killed than was asked for."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--minutes", type=float, default=25.0, help="draw no more mutants after this time")
    parser.add_argument("--sample", type=int, default=1000, help="at most so many mutants")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", default="voicefit/", help="files whose path begins so")
    parser.add_argument("--rooms", nargs="*", default=[], help="only these rooms of the core, and only their own tests")
    parser.add_argument("--least", type=float, default=0.85, help="share that must be killed")
    options = parser.parse_args()
    ends = time.monotonic() + 60 * options.minutes
    everything = [mutant for file in core_files(options.only, options.rooms) for mutant in mutants_of(file)]
    chosen = drawn(everything, random.Random(options.seed))[: options.sample]
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        counts, _ = run(chosen, options.workers, ends, Path(folder), options.rooms)
    tried = counts["killed"] + counts["survived"]
    for room in sorted({name.split()[0] for name in counts if " " in name}):
        print(f"  {room:16} killed {counts[f'{room} killed']:4}  survived {counts[f'{room} survived']:3}")
    share = counts["killed"] / max(1, tried)
    print(f"{tried} of {len(everything)} mutants tried, {counts['killed']} killed: {share:.1%} (seed {options.seed})")
    sys.exit(share < options.least)


if __name__ == "__main__":
    main()
