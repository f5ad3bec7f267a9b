"""Changes the core in small ways, one at a time, and asks whether a test notices: ``make mutants``.

Places of the core are drawn at random, each with one change by an operator of cosmic-ray (a comparison, a sign, a
number, a condition, a loop). One process collects the tests of the core; what follows happens in forks of it, and no
file is changed. First the tests run, for a third of the time, with a probe at each drawn place, which tells the tests
in which the changed expression would give another value (where it calls nothing that might change something; else those
that run it): one case of each test function, then the next of each. Then, until the time is up, each mutant is put into
the functions in memory, and those tests are tried for a while, again one case of each function before the next. A test
that fails kills the mutant; one that nothing kills survives and is printed. What runs on import (a constant, a default)
is changed before the import, in a process of its own, and the tests of its room are tried.

``equivalent_mutants.toml`` has changes that cannot be seen, each with the reason: they are not tried.
"""

from __future__ import annotations

import argparse
import ast
import builtins
import functools
import gc
import json
import os
import random
import re
import resource
import signal
import sys
import tempfile
import time
import tomllib
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from importlib.machinery import SourceFileLoader
from pathlib import Path
from types import CodeType, FunctionType
from typing import Any, NamedTuple, TypeAlias

import pytest
from _pytest.runner import runtestprotocol
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

TOP = Path(__file__).resolve().parent.parent
CORE = ("records", "quantities.py", "toml_data.py", "interpretation", "catalogue", "matching", "ordering", "dialogue")
TESTS = ("records", "catalogue", "interpretation", "matching", "ordering", "dialogue", "scenarios")
KNOWN = TOP / "tools" / "equivalent_mutants.toml"
LEAST = 0.85  # share that must be killed
MEASURING = 0.35  # share of the time
TRIES_S = 30.0  # of processor time, for the tests of one mutant
HANGS_S = 240
MOST_BYTES = 8 << 30
# Left out, as they change nothing: annotations are no code (|), enumerations are compared by either (is, ==).
NO_CHANGE = ("_BitOr", "BitOr_", "_Is", "Is_", "IsNot_", "Decorator", "Variable", "ExceptionReplacer")
FLAG = re.compile(r"^ *@dataclass|\b(repr|compare)=")  # how a value prints and compares is no behaviour of the core
# What can be called once more without a trace.
PURE = re.compile(
    "abs|all|any|bool|casefold|count|difference|endswith|enumerate|float|frozenset|get|index|int|intersection|isalpha|"
    "isdigit|isdisjoint|isinstance|issubset|items|join|keys|len|list|lower|max|min|range|removeprefix|removesuffix|"
    "set|sorted|split|splitlines|startswith|str|strip|sum|tuple|union|values|zip"
)
SURVIVED, KILLED, NO_PYTHON, NOT_TRIED = 0, 1, 70, 71
Functions: TypeAlias = dict[CodeType, list[FunctionType]]


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

    def source(self) -> str:
        return mutate_code(read(self.file), get_operator(self.operator)(), self.occurrence) or ""

    def lines(self) -> tuple[str, str]:
        """The first line that changes, before and after."""
        both = zip(read(self.file).splitlines(), self.source().splitlines(), strict=False)
        return next(((a.strip(), b.strip()) for a, b in both if a != b), ("", ""))


class Ran(NamedTuple):
    """A test as it was measured: the drawn places that it ran, and those that had been run before its call."""

    test: str
    failed: bool
    seconds: float
    places: list[int]
    built: list[int]


@functools.cache
def read(file: str) -> str:
    return (TOP / file).read_text("utf-8")


def mutants_of(file: str) -> Iterator[Mutant]:
    """All changes of a file that are not known to change nothing."""
    nodes, lines = list(ast_nodes(get_ast(read(file)))), read(file).splitlines()
    for name in operator_names():
        if not any(part in name for part in NO_CHANGE):
            operator = get_operator(name)()
            places = (place for node in nodes for place in operator.mutation_positions(node))
            changes = (Mutant(file, name, n, *start) for n, (start, _) in enumerate(places))
            yield from (each for each in changes if not FLAG.search(lines[each.line - 1]))


def drawn(mutants: Iterable[Mutant], dice: random.Random) -> list[Mutant]:
    """One mutant of each place, in random order, so that a comparison with its seven weighs no more than a number."""
    at: dict[tuple[str, int, int], list[Mutant]] = defaultdict(list)
    for mutant in mutants:
        at[mutant.file, mutant.line, mutant.column].append(mutant)
    chosen = [dice.choice(at[place]) for place in sorted(at)]
    dice.shuffle(chosen)
    return chosen


def equivalent() -> set[tuple[str, str, str]]:
    """File, line and changed line of what cannot be seen. :raises SystemExit: the file has no such line."""
    entries = tomllib.loads(KNOWN.read_text("utf-8"))["mutant"]
    for entry in entries:
        if entry["line"] not in (line.strip() for line in read(entry["file"]).splitlines()):
            sys.exit(f"mutants: {KNOWN.name}: {entry['file']} no longer has the line: {entry['line']}")
    return {(entry["file"], entry["line"], entry["becomes"]) for entry in entries}


def statement_at(tree: ast.Module, line: int) -> tuple[list[ast.stmt], ast.stmt] | None:
    """The innermost statement of a function at a line, with the body it stands in; ``None``: it runs on import."""
    found = None
    nodes: list[tuple[ast.AST, bool]] = [(tree, False)]
    for node, called in nodes:
        called = called or isinstance(node, ast.FunctionDef)
        for body in (value for _, value in ast.iter_fields(node) if isinstance(value, list)):
            for child in body:
                if getattr(child, "lineno", line) <= line <= getattr(child, "end_lineno", line):
                    nodes.append((child, called))
                    if isinstance(child, ast.stmt):
                        found = (body, child) if called else None
    return found


def codes(source: str | ast.Module, file: str) -> list[CodeType]:
    """The code of a file, then that of all functions in it, in an order that a small change leaves."""
    found = [compile(source, str(TOP / file), "exec", dont_inherit=True)]
    for code in found:
        inside = (const for const in code.co_consts if isinstance(const, CodeType))
        found += [const for const in inside if const.co_varnames[:1] != ("mutants_probe",)]
    return found


def put_in(file: str, source: str | ast.Module, functions: Functions) -> None:
    """Give the functions of a file, as they are in memory, the code that they have in a changed source of it."""
    for before, after in zip(codes(read(file), file), codes(source, file), strict=True):
        for function in functions.get(before, ()):
            if function.__code__.co_filename == before.co_filename:
                function.__code__ = after


def functions_in_memory() -> Functions:
    gc.unfreeze()
    found: Functions = defaultdict(list)
    for each in gc.get_objects():
        if isinstance(each, FunctionType) and each.__code__.co_filename.startswith(str(TOP / "voicefit")):
            found[each.__code__].append(each)
    return found


def build() -> None:
    """What the tests of the dialogue share, which takes seconds."""
    from tests.dialogue.talk import knowledge_of_the_project

    knowledge_of_the_project()


def forget_what_was_built() -> None:
    for each in gc.get_objects():
        if isinstance(each, functools._lru_cache_wrapper) and each.__module__.startswith(("voicefit", "tests")):
            each.cache_clear()


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


def collected(folders: Iterable[str], use: Callable[[list[pytest.Item]], None]) -> int:
    """Let pytest collect tests for ``use``; its exit code."""
    # Captured in memory: a file for what is printed would be one for all forks.
    options = ["-qq", "--capture=sys", "-p", "no:cacheprovider", "-p", "no:xdist"]
    return int(pytest.main([*options, *(f"tests/{name}" for name in folders)], plugins=[Tests(use)]))


def function_of(test: str) -> str:
    return test.partition("[")[0]


def by_turns(items: Iterable[pytest.Item], then: Callable[[pytest.Item], Any]) -> list[pytest.Item]:
    """One case of each test function, then the next of each; those of one turn sorted by ``then``."""
    seen: Counter[str] = Counter()
    turns = []
    for item in items:
        turns.append((seen[function_of(item.nodeid)], item))
        seen[function_of(item.nodeid)] += 1
    return [item for _, item in sorted(turns, key=lambda turn: (turn[0], then(turn[1])))]


def failing(items: Sequence[pytest.Item], ended: Callable[[], bool]) -> Iterator[tuple[pytest.Item, bool]]:
    """Run tests, until ``ended``: each with whether it failed."""
    for item, following in zip(items, [*items[1:], None], strict=True):
        if ended():
            return
        yield item, any(report.failed for report in runtestprotocol(item, log=False, nextitem=following))


def attempt(items: Sequence[pytest.Item]) -> None:
    """Try tests for a while and end the process with what they say. What hangs or takes all memory is ended, too."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    signal.alarm(HANGS_S)
    began = time.process_time()
    killed = any(failed for _, failed in failing(items, lambda: time.process_time() - began > TRIES_S))
    os._exit(KILLED if killed else SURVIVED)


def attempt_on_import(mutant: Mutant) -> None:
    """Change a file before its import, and try the tests of its room. Ends the process."""
    path, changed, usual = str(TOP / mutant.file), mutant.source(), SourceFileLoader.get_code

    def get_code(self: SourceFileLoader, fullname: str) -> CodeType | None:
        return compile(changed, path, "exec", dont_inherit=True) if self.path == path else usual(self, fullname)

    # Ignored: the loader of this process is replaced on purpose, and the process ends with it.
    SourceFileLoader.get_code = get_code  # type: ignore[method-assign,assignment]

    def use(items: list[pytest.Item]) -> None:
        random.Random(mutant.occurrence).shuffle(items)
        attempt(by_turns(items, lambda item: function_of(item.nodeid)))

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    collected([mutant.room if mutant.room in TESTS else "records"], use)
    os._exit(KILLED)  # the import fails


def changed_expression(before: ast.AST, after: ast.AST) -> tuple[ast.AST, str, int | None, ast.expr] | None:
    """The widest expression that changes and can be computed once more: what holds it, where, and what it becomes."""
    if type(before) is not type(after) or isinstance(before, ast.pattern):
        return None
    for name, value in ast.iter_fields(before):
        listed, other = isinstance(value, list), getattr(after, name)
        for at, (one, two) in enumerate(zip(value, other, strict=False) if listed else [(value, other)]):
            if isinstance(one, ast.AST) and isinstance(two, ast.AST) and ast.dump(one) != ast.dump(two):
                if isinstance(two, ast.expr) and leaves_no_trace(one) and leaves_no_trace(two):
                    return before, name, at if listed else None, two
                return changed_expression(one, two)
    return None


def leaves_no_trace(node: ast.AST) -> bool:
    if not isinstance(node, ast.expr) or isinstance(node, ast.Slice | ast.Starred | ast.FormattedValue):
        return False
    calls = [each.func for each in ast.walk(node) if isinstance(each, ast.Call)]
    return (
        isinstance(getattr(node, "ctx", ast.Load()), ast.Load)
        and not any(isinstance(each, ast.NamedExpr | ast.Yield | ast.YieldFrom) for each in ast.walk(node))
        and all(PURE.fullmatch(getattr(called, "id", getattr(called, "attr", ""))) for called in calls)
    )


def with_probes(mutants: Sequence[Mutant]) -> dict[str, ast.Module]:
    """The files of the mutants: the number of each is noted where its expression would give another value or, where
    that cannot be told, before its statement."""
    trees = {file: ast.parse(read(file)) for file in {mutant.file for mutant in mutants}}
    probes: list[Callable[[], None]] = []
    for number, mutant in enumerate(mutants):
        place = statement_at(trees[mutant.file], mutant.line)
        try:
            after = statement_at(ast.parse(mutant.source()), mutant.line)
        except SyntaxError:
            continue
        if place is not None:
            found = changed_expression(place[1], after[1]) if after else None
            probes.append(
                functools.partial(_compare, number, *found) if found else functools.partial(_note, number, *place)
            )
    for probe in probes:  # not before all have been found in the trees as they are
        probe()
    for tree in trees.values():
        ast.fix_missing_locations(tree)
    return trees


def _note(number: int, body: list[ast.stmt], statement: ast.stmt) -> None:
    probe = ast.parse(f"mutants_hit.add({number})").body[0]
    for node in ast.walk(probe):
        ast.copy_location(node, statement)
    body.insert(next(n for n, each in enumerate(body) if each is statement), probe)


def _compare(number: int, holder: ast.AST, name: str, at: int | None, after: ast.expr) -> None:
    field = getattr(holder, name)
    before: ast.expr = field if at is None else field[at]
    probe = ast.parse(f"mutants_compare({number}, None, lambda mutants_probe=None: None)", mode="eval").body
    assert isinstance(probe, ast.Call) and isinstance(probe.args[2], ast.Lambda)
    for node in ast.walk(probe):
        ast.copy_location(node, before)
    probe.args[1], probe.args[2].body = before, after
    if at is None:
        setattr(holder, name, probe)
    else:
        field[at] = probe


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
    functions = functions_in_memory()
    for file, tree in trees.items():
        put_in(file, tree, functions)
    build()
    before.update(hits)
    began = time.process_time()
    for item, failed in failing(items, lambda: time.monotonic() > ends):
        yield Ran(item.nodeid, failed, time.process_time() - began, sorted(hits), sorted(before))
        hits.clear()
        before.clear()
        began = time.process_time()


def measured(items: Sequence[pytest.Item], mutants: Sequence[Mutant], workers: int, ends: float) -> list[Ran]:
    """Tests run in forks, until the clock says ``ends``."""
    trees = with_probes(mutants)
    with tempfile.TemporaryDirectory(prefix="mutants-") as folder:
        files = [Path(folder, str(worker)) for worker in range(workers)]
        forks = []
        for worker, file in enumerate(files):
            forks.append(os.fork())
            if forks[-1] == 0:
                try:
                    ran = run_with_probes(trees, items[worker::workers], ends)
                    file.write_text("\n".join(map(json.dumps, ran)), "utf-8")
                    os._exit(0)
                finally:
                    os._exit(1)
        if sum(os.waitpid(fork, 0)[1] for fork in forks):
            sys.exit("mutants: the tests of the core cannot be measured")
        return [Ran(*json.loads(line)) for file in files for line in file.read_text("utf-8").splitlines()]


class Trials:
    """The mutants, put to the tests in forks of the process that has collected them."""

    def __init__(self, mutants: Sequence[Mutant], items: list[pytest.Item], ran: Sequence[Ran]) -> None:
        self.mutants = mutants
        failing = {each.test for each in ran if each.failed}
        for test in failing:
            print(f"fails as it is, and is left out: {test}", flush=True)
        self._items = [item for item in items if item.nodeid not in failing]
        self._seconds = {each.test: each.seconds for each in ran}
        self._built = {number for each in ran for number in each.built}
        self._tests: dict[int, set[str]] = defaultdict(set)
        for each in ran:
            for number in each.places:
                self._tests[number].add(each.test)
        build()
        self._functions = functions_in_memory()

    def attempt(self, number: int) -> None:
        """Put a mutant in and try the tests. Ends the process."""
        mutant = self.mutants[number]
        try:  # the star between parameters is no product
            compile(mutant.source(), mutant.file, "exec")
        except SyntaxError:
            os._exit(NO_PYTHON)
        if statement_at(ast.parse(read(mutant.file)), mutant.line) is None:
            os.execv(sys.executable, [sys.executable, "-m", "tools.mutants", "--on-import", json.dumps(mutant)])
        if number in self._built:
            forget_what_was_built()
        put_in(mutant.file, mutant.source(), self._functions)
        attempt(self._chosen(number))

    def _chosen(self, number: int) -> list[pytest.Item]:
        """The tests to try: those that run the place and, where what is shared does or none, those of its room.

        Of those that there was no time to measure, the other cases of the same functions and those of the room. In each
        turn the tests of the room come first, then the quickest.
        """
        tests, room = self._tests[number], f"tests/{self.mutants[number].room}/"
        like = {function_of(test) for test in tests}
        whole_room = number in self._built or not tests

        def is_chosen(test: str) -> bool:
            if test in self._seconds:
                return test in tests or (whole_room and test.startswith(room))
            return function_of(test) in like or test.startswith(room)

        return by_turns(
            sorted((item for item in self._items if is_chosen(item.nodeid)), key=lambda item: item.nodeid not in tests),
            lambda item: (not item.nodeid.startswith(room), self._seconds.get(item.nodeid, TRIES_S)),
        )


def run(mutants: Sequence[Mutant], options: argparse.Namespace, items: list[pytest.Item]) -> Counter[tuple[str, int]]:
    """Measure, then try mutants until the time is up: how many of each room came to which end."""
    began = time.monotonic()
    random.Random(options.seed).shuffle(items)
    in_turn = by_turns(items, lambda item: item.nodeid)
    ran = measured(in_turn, mutants, options.workers, began + 60 * MEASURING * options.minutes)
    print(f"{len(ran)} of {len(items)} tests measured in {time.monotonic() - began:.0f} s", flush=True)
    trials, known = Trials(mutants, items, ran), equivalent()
    results: Counter[tuple[str, int]] = Counter()
    running: dict[int, Mutant] = {}

    def one_ended() -> None:
        process, status = os.wait()
        mutant, code = running.pop(process), os.waitstatus_to_exitcode(status)
        end = KILLED if code in (-signal.SIGALRM, -signal.SIGSEGV) else code
        results[mutant.room, end] += 1
        if end not in (KILLED, NO_PYTHON):
            name = "survived" if end == SURVIVED else f"not tried ({end})"
            print(f"{name}: {mutant.file}:{mutant.line}: {'   =>   '.join(mutant.lines())}", flush=True)

    for number, mutant in enumerate(mutants):
        while len(running) >= options.workers:
            one_ended()
        if time.monotonic() - began > 60 * options.minutes:
            break
        if (mutant.file, *mutant.lines()) not in known:
            process = os.fork()
            if process == 0:
                try:
                    trials.attempt(number)
                finally:
                    os._exit(NOT_TRIED)
            running[process] = mutant
    while running:
        one_ended()
    return results


def main() -> None:
    """Parse the options, run, print; exit code 1 if fewer are killed than must be."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n\n")[0])
    parser.add_argument("--minutes", type=float, default=25.0, help="try no more mutants after this time")
    parser.add_argument("--sample", type=int, default=600, help="at most so many mutants")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", default="voicefit/", help="files whose path begins so")
    parser.add_argument("--on-import", type=json.loads, help=argparse.SUPPRESS)
    options = parser.parse_args()
    os.chdir(TOP)
    if options.on_import:
        attempt_on_import(Mutant(*options.on_import))
    equivalent()  # which says at once where a line is gone
    roots = [TOP / "voicefit" / name for name in CORE]
    files = [file for root in roots for file in ([root] if root.suffix else sorted(root.rglob("*.py")))]
    names = [name for file in files if (name := file.relative_to(TOP).as_posix()).startswith(options.only)]
    places = drawn((mutant for name in names for mutant in mutants_of(name)), random.Random(options.seed))
    results: Counter[tuple[str, int]] = Counter()
    if code := collected(TESTS, lambda items: results.update(run(places[: options.sample], options, items))):
        sys.exit(code)
    for room in sorted({room for room, _ in results}):
        print(f"  {room:16} killed {results[room, KILLED]:4}  survived {results[room, SURVIVED]:3}")
    killed, survived = (sum(n for (_, each), n in results.items() if each == end) for end in (KILLED, SURVIVED))
    share = killed / max(1, killed + survived)
    print(f"{killed + survived} of {len(places)} places tried, {killed} killed: {share:.1%} (seed {options.seed})")
    sys.exit(share < LEAST)


if __name__ == "__main__":
    main()
