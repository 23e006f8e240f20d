"""The comparison with scipy runs and says what it compares; how fast anything is, is not tested."""

import importlib.util
from pathlib import Path

BENCHMARKS = Path(__file__).parents[1] / "benchmarks"


def benchmark_called(name):
    """Return a benchmark as a module of its own."""
    spec = importlib.util.spec_from_file_location(f"{name}_benchmark", BENCHMARKS / f"{name}.py")
    benchmark = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(benchmark)
    return benchmark


def test_the_benchmark_runs_in_short_and_compares_equal_work(capsys):
    benchmark = benchmark_called("solving")
    point, course = benchmark.main(short=True)
    said = capsys.readouterr().out
    assert point > 0 and all(ratio > 0 for ratio in course.values()) and set(course) == {"numpy", "kit's own"}
    for words in ("one operating point", "scipy root", "RK45 on numpy", "LSODA on kit's own", "odeint on kit's own", "x the kit"):
        assert words in said


def test_both_sides_of_the_benchmark_solve_the_same_equations():
    """The same light from the numpy and the generated right-hand side, and the root finder's volts are the kit's."""
    benchmark = benchmark_called("solving")
    course = benchmark.run(benchmark.arrangement(benchmark.CART), benchmark.SCRIPT[:2], 1.5)
    one, other = (benchmark.Prepared(course, by).light("DOP853", 1e-9) for by in ("numpy", "kit's own"))
    assert abs(one - other).max() < 1e-8
    _, errors = benchmark.one_point(1)
    assert max(errors.values()) < 1e-8


def test_the_benchmark_of_finding_runs_in_short(capsys):
    (found,) = benchmark_called("finding").main(["--short"])
    said = capsys.readouterr().out
    assert found["candidates"] > 50 and found["ratio"] > 0 and "solved together" in said and "the next reading chosen" in said
    assert set(found["told"]) == {"volts", "amps", "ohms", "look", "test lamp", "test lamp held there before"} and found["pairs"] > 10 and "pairs solved in the rows told of" in said


def test_the_benchmark_of_readings_runs_in_short_and_both_sides_read_alike(capsys):
    ratio, pairs, same = benchmark_called("readings").main(["--short"])
    said = capsys.readouterr().out
    assert ratio > 0 and pairs == same > 50 and "all pairs at once" in said and "pair after pair" in said
