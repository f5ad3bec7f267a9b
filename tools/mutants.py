"""Changes the core in small ways, one at a time, and asks whether a test notices: ``make mutants``.

Places of the core are drawn at random, each with one change by an operator of cosmic-ray (a comparison, a sign, a
number, a condition, a loop). One process collects the tests of the core; what follows happens in forks of it, and no
file is changed. First the tests run, for a part of the time, with a probe at each drawn place, which tells the tests
in which the changed expression would give another value (where it calls nothing that might change something; else those
that run it). Then each mutant is put into the functions in memory and those tests are tried: one case of each test
function before the next of each, those of its room and the quick ones first. All mutants get a short while; those that
no test has killed go on where they were for twice that while, and again, until the time is up. What is left survives
and is printed. What runs on import (a constant, a default) is changed before the import, in a process of its own.

``equivalent_mutants.toml`` has changes that cannot be seen, each with the reason: they are not drawn.
"""

from __future__ import annotations

import argparse
import ast
import builtins
import functools
import gc
import json
import math
import os
import random
import re
import resource
import signal
import sys
import tempfile
import time
import tomllib
import traceback
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from importlib.machinery import SourceFileLoader
from multiprocessing.sharedctypes import RawArray
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, NamedTuple

import pytest
from _pytest.runner import runtestprotocol
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

TOP = Path(__file__).resolve().parent.parent
CORE = ("records", "quantities.py", "toml_data.py", "interpretation", "catalogue", "matching", "ordering", "dialogue")
TESTS = [f"tests/{name}" for name in (*(room for room in CORE if "." not in room), "scenarios")]
KNOWN = TOP / "tools" / "equivalent_mutants.toml"
LEAST = 0.85  # share that must be killed
MEASURING = 0.35  # share of the time
FIRST_S, ON_IMPORT_S = 8.0, 60.0  # of processor time: for all tests of a mutant at first; for one on import
HANGS_S, HANGS_TIMES = 15.0, 10.0  # a test takes so much longer, and times as long, as it did: it hangs
MOST_BYTES = 8 << 30
MOST_ON_IMPORT = 500  # tests
# Left out, as they change nothing: annotations are no code (|), enumerations are compared by either (is, ==).
NO_CHANGE = ("_BitOr", "BitOr_", "_Is", "Is_", "IsNot_", "Decorator", "Variable", "ExceptionReplacer")
ORDERED = re.compile('[!=]= "')  # names have no order: they are compared by == and !=
# How a value prints and compares, and what is imported for its type alone, is no behaviour of the core.
FLAG = re.compile(r"^ *@dataclass|\b(repr|compare)=|^if TYPE_CHECKING:")
# What can be called once more without a trace.
PURE = re.compile(
    "abs|all|any|bool|casefold|count|difference|endswith|enumerate|float|frozenset|get|index|int|intersection|isalpha|"
    "isdigit|isdisjoint|isinstance|issubset|items|join|keys|len|list|lower|max|min|range|removeprefix|removesuffix|"
    "set|sorted|split|splitlines|startswith|str|strip|sum|tuple|union|values|zip"
)
SURVIVED, KILLED, UNDECIDED, NOT_TRIED = 0, 1, 2, 71  # exit codes
KILLS = (KILLED, -signal.SIGPROF, -signal.SIGSEGV)  # it hangs; it recurs without end
ENDS = {SURVIVED: "survived", UNDECIDED: "survived so far", NOT_TRIED: "could not be tried"}


class Mutant(NamedTuple):
    """The change of ``file`` (relative to the tree) by the operator named, at its ``occurrence``."""

    file: str
    operator: str
    occurrence: int
    line: int
    column: int

    @property
    def room(self) -> str:
        return self.file.split("/")[1].removesuffix(".py")

    @functools.cache  # noqa: B019 - the mutants live as long as the process
    def source(self) -> str:
        return mutate_code(read(self.file), get_operator(self.operator)(), self.occurrence) or ""

    def lines(self) -> tuple[str, str]:
        """The first line that changes, before and after."""
        both = zip(read(self.file).splitlines(), self.source().splitlines(), strict=False)
        return next(((a.strip(), b.strip()) for a, b in both if a != b), ("", ""))

    @property
    def is_on_import(self) -> bool:
        return statement_at(ast.parse(read(self.file)), self.line) is None

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {'   =>   '.join(self.lines())}"


@functools.cache
def read(file: str) -> str:
    return (TOP / file).read_text("utf-8")


def statement_at(tree: ast.Module, line: int) -> ast.stmt | None:
    """The innermost statement at a line, where it is a function's."""
    at = [
        node for node in ast.walk(tree) if isinstance(node, ast.stmt) and node.lineno <= line <= (node.end_lineno or 0)
    ]
    return at[-1] if any(isinstance(node, ast.FunctionDef) for node in at[:-1]) else None


def mutants_of(file: str) -> Iterator[Mutant]:
    nodes, lines = list(ast_nodes(get_ast(read(file)))), read(file).splitlines()
    for name in operator_names():
        if not any(part in name for part in NO_CHANGE):
            operator = get_operator(name)()
            places = (place for node in nodes for place in operator.mutation_positions(node))
            changes = (Mutant(file, name, n, *start) for n, (start, _) in enumerate(places))
            without = ORDERED if "Eq_Lt" in name or "Eq_Gt" in name else FLAG
            yield from (each for each in changes if not without.search(lines[each.line - 1]))


def drawn(mutants: Iterable[Mutant], dice: random.Random) -> list[Mutant]:
    """One mutant of each place, in random order, so that a comparison with its seven weighs no more than a number."""
    at: dict[tuple[str, int, int], list[Mutant]] = defaultdict(list)
    for mutant in mutants:
        at[mutant.file, mutant.line, mutant.column].append(mutant)
    chosen = [dice.choice(at[place]) for place in sorted(at)]
    dice.shuffle(chosen)
    return chosen


def sampled(places: Iterable[Mutant], most: int) -> list[Mutant]:
    """The first of the places that are Python when changed and not known to be equivalent.

    :raises SystemExit: the file of those has a line that is gone.
    """
    entries = tomllib.loads(KNOWN.read_text("utf-8"))["mutant"]
    for entry in entries:
        if entry["line"] not in map(str.strip, read(entry["file"]).splitlines()):
            sys.exit(f"mutants: {KNOWN.name}: {entry['file']} no longer has the line: {entry['line']}")
    known = {(entry["file"], entry["line"], entry["becomes"]) for entry in entries}
    found: list[Mutant] = []
    for mutant in places:
        if len(found) < most and (mutant.file, *mutant.lines()) not in known:
            try:  # the star between parameters is no product
                compile(mutant.source(), mutant.file, "exec")
            except SyntaxError:
                continue
            found.append(mutant)
    return found


# Code in memory.


def codes(source: str | ast.Module, file: str) -> list[CodeType]:
    """The code of a file, then that of all functions in it, in an order that a small change leaves."""
    found = [compile(source, str(TOP / file), "exec", dont_inherit=True)]
    for code in found:
        inside = (const for const in code.co_consts if isinstance(const, CodeType))
        found += [const for const in inside if const.co_varnames[:1] != ("mutants_probe",)]
    return found


def put_in(changed: Mapping[str, str | ast.Module]) -> None:
    """Give the functions of files, as they are in memory, the code that they have in a changed source."""
    gc.unfreeze()
    functions = [each for each in gc.get_objects() if isinstance(each, FunctionType)]
    for file, source in changed.items():
        after = dict(zip(codes(read(file), file), codes(source, file), strict=True))
        for each in functions:
            if each.__code__.co_filename == str(TOP / file) and each.__code__ in after:
                each.__code__ = after[each.__code__]


def build() -> None:
    """What the tests of the dialogue share, which takes seconds."""
    from tests.dialogue.talk import knowledge_of_the_project

    knowledge_of_the_project()


def forget_what_was_built() -> None:
    gc.unfreeze()  # what is frozen is not among the objects
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and each.__module__.startswith(("voicefit", "tests")):
            each.cache_clear()


# Tests.


class Tests:
    """A plugin of pytest that, in place of running the tests, hands those that were collected to ``use``."""

    def __init__(self, use: Callable[[list[pytest.Item]], None]) -> None:
        self._use = use

    def pytest_configure(self) -> None:
        from hypothesis import Phase, settings  # not before pytest has begun

        settings.register_profile("mutants", database=None, derandomize=True, phases=(Phase.explicit, Phase.generate))
        settings.load_profile("mutants")

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        if session.testsfailed:
            raise session.Failed("the tests cannot be collected")
        self._use(session.items)
        return True


def collected(paths: Iterable[str], use: Callable[[list[pytest.Item]], None]) -> int:
    """Let pytest collect tests for ``use``; its exit code."""
    # Captured in memory: a file for what is printed would be one for all forks.
    options = ["-qq", "--capture=sys", "-p", "no:cacheprovider", "-p", "no:xdist"]
    return int(pytest.main([*options, *paths], plugins=[Tests(use)]))


def function_of(test: str) -> str:
    return test.partition("[")[0]


def by_turns(items: Iterable[pytest.Item], then: Callable[[pytest.Item], Any]) -> list[pytest.Item]:
    """One case of each test function, then the next of each; those of one turn sorted by ``then``."""
    seen: Counter[str] = Counter()

    def turn(item: pytest.Item) -> tuple[int, Any]:
        seen[function_of(item.nodeid)] += 1
        return seen[function_of(item.nodeid)], then(item)

    return sorted(items, key=turn)


def fails(item: pytest.Item, following: pytest.Item | None) -> bool:
    return any(report.failed for report in runtestprotocol(item, log=False, nextitem=following))


def attempt(items: Sequence[pytest.Item], seconds: Mapping[str, float], most: float, tried: Any, number: int) -> None:
    """Go on with the tests of a mutant until one fails, none is left or ``most`` seconds are over, count them in
    ``tried`` and end the process with what they say. What hangs or takes all memory is ended, too."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    began = time.process_time()
    left = items[tried[number] :]
    for item, following in zip(left, [*left[1:], None], strict=False):
        if time.process_time() - began > most:
            os._exit(UNDECIDED)
        signal.setitimer(signal.ITIMER_PROF, HANGS_S + HANGS_TIMES * seconds.get(item.nodeid, HANGS_S))
        if fails(item, following):
            os._exit(KILLED)
        tried[number] += 1
    os._exit(SURVIVED)


def attempt_on_import(mutant: Mutant, tests: Sequence[str]) -> None:
    """Change a file before its import, and try tests in their order. Ends the process."""
    path, changed, usual = str(TOP / mutant.file), mutant.source(), SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, fullname: str) -> CodeType | None:
        return compile(changed, path, "exec", dont_inherit=True) if self.path == path else usual(self, fullname)

    # Ignored: the loader of this process is replaced on purpose, and the process ends with it.
    SourceFileLoader.get_code = get_code  # type: ignore[method-assign,assignment]

    def use(items: list[pytest.Item]) -> None:
        by_name = {item.nodeid: item for item in items}
        attempt([by_name[test] for test in tests if test in by_name], {}, ON_IMPORT_S, [0], 0)

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    collected(sorted({test.partition("::")[0] for test in tests}), use)
    os._exit(KILLED)  # the import fails


def in_forks(work: Callable[[int], None], numbers: Iterable[int], workers: int, ends: float) -> dict[int, int]:
    """Do work in a fork for each number, so many at a time, none begun after ``ends``: the exit codes of the forks."""
    running: dict[int, int] = {}
    codes: dict[int, int] = {}

    def one_ended() -> None:
        process, status = os.wait()
        codes[running.pop(process)] = os.waitstatus_to_exitcode(status)

    for number in numbers:
        if len(running) == workers:
            one_ended()
        if time.monotonic() > ends:
            break
        if (process := os.fork()) == 0:
            try:
                work(number)
                os._exit(0)
            except BaseException:  # none may go on in a fork what its parent does
                traceback.print_exc()
                os._exit(NOT_TRIED)
        running[process] = number
    while running:
        one_ended()
    return codes


# Measuring.


def leaves_no_trace(*expressions: ast.expr) -> bool:
    inside = [each for expression in expressions for each in ast.walk(expression)]
    calls = [each.func for each in inside if isinstance(each, ast.Call)]
    return (
        not any(isinstance(each, ast.Slice | ast.Starred | ast.FormattedValue) for each in expressions)
        and all(isinstance(getattr(each, "ctx", ast.Load()), ast.Load) for each in expressions)
        and not any(isinstance(each, ast.NamedExpr | ast.Yield | ast.YieldFrom) for each in inside)
        and all(PURE.fullmatch(getattr(called, "id", getattr(called, "attr", ""))) for called in calls)
    )


def changed_expression(before: ast.stmt, after: ast.stmt) -> tuple[ast.expr, ast.expr] | None:
    """The widest expression that changes and can be computed once more, before and after."""
    for one, two in zip(ast.walk(before), ast.walk(after), strict=False):  # in step, down to what changes
        if ast.dump(one) != ast.dump(two):
            if isinstance(one, ast.expr) and isinstance(two, ast.expr) and leaves_no_trace(one, two):
                return one, two
            if type(one) is not type(two) or isinstance(one, ast.pattern):
                return None
    return None


class Probes(ast.NodeTransformer):
    """Puts probes into a tree at its nodes: the number of a place, and what becomes of an expression."""

    def __init__(self) -> None:
        self.at: dict[ast.AST, list[tuple[int, ast.expr | None]]] = defaultdict(list)

    def visit(self, node: ast.AST) -> Any:
        changed: Any = self.generic_visit(node)
        notes = []
        for number, after in self.at.get(node, ()):
            if after is None:
                notes.append(ast.copy_location(ast.parse(f"mutants_hit.add({number})").body[0], node))
            else:
                call = f"mutants_compare({number}, None, lambda mutants_probe=None: None)"
                probe: Any = ast.copy_location(ast.parse(call, mode="eval").body, node)
                probe.args[1], probe.args[2].body, changed = changed, after, probe
        return [*notes, changed] if notes else changed


def with_probes(mutants: Sequence[Mutant]) -> dict[str, ast.Module]:
    """The files of the mutants: the number of each is noted where its expression would give another value or, where
    that cannot be told, before its statement."""
    trees = {mutant.file: ast.parse(read(mutant.file)) for mutant in mutants}
    probes = Probes()
    for number, mutant in enumerate(mutants):
        before = statement_at(trees[mutant.file], mutant.line)
        after = statement_at(ast.parse(mutant.source()), mutant.line)
        if before and after:
            one, two = changed_expression(before, after) or (before, None)
            probes.at[one].append((number, two))
        else:  # it runs on import: whatever calls the file
            for function in ast.walk(trees[mutant.file]):
                if isinstance(function, ast.FunctionDef):
                    probes.at[function.body[0]].append((number, None))
    return {file: ast.fix_missing_locations(probes.visit(tree)) for file, tree in trees.items()}


class Ran(NamedTuple):
    """A test as it was measured: the drawn places that it ran, and those that had been run before its call."""

    test: str
    failed: bool
    seconds: float
    places: list[int]
    built: list[int]


def run_with_probes(trees: dict[str, ast.Module], items: Sequence[pytest.Item], ends: float) -> Iterator[Ran]:
    """Run tests until the clock says ``ends``."""
    hits: set[int] = set()
    before: set[int] = set()

    def compare(number: int, value: Any, other: Callable[[], Any]) -> Any:
        if number not in hits:
            try:
                same = bool(other() == value)
            except Exception:  # it would break
                same = False
            if not same:
                hits.add(number)
        return value

    # Ignored: names that the probes in any module must find, which no type knows of.
    builtins.mutants_hit, builtins.mutants_compare = hits, compare  # type: ignore[attr-defined]

    class Called:
        @pytest.hookimpl(tryfirst=True)
        def pytest_runtest_call(self) -> None:
            before.update(hits)

    items[0].config.pluginmanager.register(Called())
    put_in(trees)
    forget_what_was_built()
    build()
    before.update(hits)
    began = time.process_time()
    for item, following in zip(items, [*items[1:], None], strict=False):
        if time.monotonic() > ends:
            return
        failed = fails(item, following)
        yield Ran(item.nodeid, failed, time.process_time() - began, sorted(hits), sorted(before))
        hits.clear()
        before.clear()
        began = time.process_time()


def measured(items: Sequence[pytest.Item], mutants: Sequence[Mutant], workers: int, ends: float) -> list[Ran]:
    """Tests run in forks, until the clock says ``ends``."""
    trees = with_probes(mutants)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:

        def work(worker: int) -> None:
            ran = run_with_probes(trees, items[worker::workers], ends)
            Path(folder, str(worker)).write_text("\n".join(map(json.dumps, ran)), "utf-8")

        if any(in_forks(work, range(workers), workers, ends).values()):
            sys.exit("mutants: the tests of the core cannot be measured")
        return [Ran(*json.loads(line)) for file in Path(folder).iterdir() for line in file.read_text().splitlines()]


# Trying.


def in_turn(items: Sequence[pytest.Item], ran: Sequence[Ran], number: int, mutant: Mutant) -> list[pytest.Item]:
    """The tests to try: those in which the place makes a difference and, where what is shared does, those of its room;
    of those not measured, the other cases of the same functions. In each turn those of the file come first, then those
    of the room, then the quick."""
    seconds = {each.test: each.seconds for each in ran}
    tests = {each.test for each in ran if number in each.places}
    built = any(number in each.built for each in ran)
    room, functions = f"tests/{mutant.room}/", {function_of(test) for test in tests}
    anywhere = mutant.is_on_import and not tests  # no test calls a file without functions

    def is_chosen(test: str) -> bool:
        if test in seconds:
            return test in tests or anywhere or (built and test.startswith(room))
        return function_of(test) in functions or anywhere or (not tests and test.startswith(room))

    def first(item: pytest.Item) -> tuple[bool, bool, float]:
        own = item.path.stem == f"test_{Path(mutant.file).stem}"
        return not own, not item.nodeid.startswith(room), seconds.get(item.nodeid, HANGS_S)

    chosen = [item for item in items if is_chosen(item.nodeid)]
    return by_turns(sorted(chosen, key=lambda item: item.nodeid not in tests), first)


def run(mutants: Sequence[Mutant], options: argparse.Namespace, items: list[pytest.Item]) -> dict[int, int]:
    """Measure, then try the mutants until the time is up: how each ended that was tried."""
    began = time.monotonic()
    ends = began + 60 * options.minutes
    random.Random(options.seed).shuffle(items)
    files = list(dict.fromkeys(item.path for item in items))
    ran = measured(
        by_turns(items, lambda item: files.index(item.path)),
        mutants,
        options.workers,
        began + 60 * MEASURING * options.minutes,
    )
    print(f"{len(ran)} of {len(items)} tests measured in {time.monotonic() - began:.0f} s", flush=True)
    for test in (failing := {each.test for each in ran if each.failed}):
        print(f"fails as it is, and is left out: {test}", flush=True)
    items = [item for item in items if item.nodeid not in failing]
    seconds = {each.test: each.seconds for each in ran}
    tried = RawArray("i", len(mutants))  # tests of each; shared with the forks
    build()

    def work(number: int) -> None:
        signal.alarm(max(1, math.ceil(ends - time.monotonic())))
        mutant = mutants[number]
        tests = in_turn(items, ran, number, mutant)
        if mutant.is_on_import:
            told = os.memfd_create("mutants", 0)
            os.write(told, json.dumps([mutant, [item.nodeid for item in tests[:MOST_ON_IMPORT]]]).encode())
            os.execv(sys.executable, [sys.executable, "-m", "tools.mutants", "--on-import", str(told)])
        if any(number in each.built for each in ran):
            forget_what_was_built()
        put_in({mutant.file: mutant.source()})
        attempt(tests, seconds, most, tried, number)

    waiting: list[int] = list(range(len(mutants)))
    most, codes = FIRST_S, dict[int, int]()
    while waiting and time.monotonic() < ends:
        ended = in_forks(work, waiting, options.workers, ends)
        codes |= {number: code for number, code in ended.items() if code != -signal.SIGALRM}
        waiting = [number for number in waiting if codes.get(number) == UNDECIDED]
        most *= 2
    return codes


def main() -> None:
    """Parse the options, run, print; exit code 1 if fewer are killed than must be."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--minutes", type=float, default=25.0, help="begin no trial after this time")
    parser.add_argument("--sample", type=int, default=200, help="at most so many mutants")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", default="voicefit/", help="files whose path begins so")
    parser.add_argument("--again", type=Path, help="only those that survive in this file of what was printed")
    parser.add_argument("--on-import", type=int, help=argparse.SUPPRESS)
    options = parser.parse_args()
    os.chdir(TOP)
    if options.on_import:
        mutant, tests = json.loads(os.pread(options.on_import, 1 << 24, 0))
        attempt_on_import(Mutant(*mutant), tests)
    roots = [TOP / "voicefit" / name for name in CORE]
    files = [file for root in roots for file in ([root] if root.suffix else sorted(root.rglob("*.py")))]
    names = [name for file in files if (name := file.relative_to(TOP).as_posix()).startswith(options.only)]
    places = drawn((mutant for name in names for mutant in mutants_of(name)), random.Random(options.seed))
    mutants = sampled(places, options.sample)
    if options.again:
        printed = options.again.read_text("utf-8")
        mutants = [mutant for mutant in mutants if str(mutant) in printed]
    ends: dict[int, int] = {}
    if code := collected(TESTS, lambda items: ends.update(run(mutants, options, items))):
        sys.exit(code)
    results: dict[str, list[bool]] = defaultdict(list)
    for mutant, end in sorted((mutants[number], end) for number, end in ends.items()):
        results[mutant.room].append(end in KILLS)
        results["all"].append(end in KILLS)
        if end not in KILLS:
            print(f"{ENDS.get(end, end)}: {mutant}")
    for room, killed in sorted(results.items(), key=lambda each: len(each[1])):
        share = sum(killed) / len(killed)
        error = 2 * math.sqrt(share * (1 - share) / len(killed))
        print(f"{room:>16}: {sum(killed):3} of {len(killed):3} killed, {share:6.1%} ± {error:.1%}")
    print(f"{len(ends)} of {len(places)} places were tried (seed {options.seed})")
    sys.exit(share < LEAST)


if __name__ == "__main__":
    main()
