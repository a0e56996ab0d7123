"""Time to a proven cut plan, beside general solvers on the same instances.

    python benchmarks/cut.py FOLDER [--files falkenauer own shop bpplib] [--limit 10] [--state FILE]
    python benchmarks/cut.py FOLDER --peers [--names FOLDER/mixed41.txt]
    python benchmarks/cut.py --days 20 [--keep sling] [--limit 5]

FOLDER holds `*.jsonl`, one instance a line: `capacity` and `items`, or `params`, `stock` and `items`. With
`--state`, finished instances are read back from that file and not run again. Peers: an assignment model in
HiGHS and in OR-Tools CP-SAT, `packingsolver` (needs Python 3.12), and first fit decreasing; what is not
installed is left out. One that proves nothing in time counts as the limit, so every ratio printed is a floor.

Everything runs on one thread, but for `packingsolver`, which runs its own. Seconds are processor time (of
`packingsolver`: over the number of cores). A peer is stopped by the clock on the wall, `--patience` times the
limit: one on a quiet machine, more on a busy one. One that proved nothing and had less than nine tenths of
the limit (`packingsolver`: of one core) was starved: it is run again the next time, and as long as there is
one no ratio is printed.

`--days N` plans N days of a fictional shop (`shop_day.py`: 300 pieces, 40 rolls and remnants, 6 webbings);
each webbing gets its share of what is left of the day's limit, and every second is processor time.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import math
import os
import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

Instance = dict[str, Any]
Result = dict[str, Any]


def read_instances(folder: Path, files: list[str], pattern: str, names: Path | None) -> Iterator[Instance]:
    wanted = set(names.read_text(encoding="utf-8").split()) if names else None
    for file in files:
        with (folder / f"{file}.jsonl").open(encoding="utf-8") as lines:
            for line in lines:
                instance = json.loads(line)
                if (wanted is None or instance["name"] in wanted) and re.search(pattern, instance["name"]):
                    yield {**instance, "file": file}


def run_own(instance: Instance, limit_s: float) -> Result:
    from slingwright.make.cutting import parse_cut
    from slingwright.make.cutting.solve import solve_cut

    document = {key: value for key, value in instance.items() if key != "file"}
    start = time.process_time()
    plan = solve_cut(parse_cut(document).problems[0], time_limit_s=limit_s, clock=time.process_time)
    return {"cost": plan.cost, "bound": plan.bound, "seconds": time.process_time() - start}


def _sizes(instance: Instance) -> list[int]:
    return sorted((i["length"] for i in instance["items"] for _ in range(i["quantity"])), reverse=True)


def _first_fit(instance: Instance) -> list[list[int]]:
    rolls: list[list[int]] = []
    left: list[int] = []
    for size in _sizes(instance):
        at = next((r for r, room in enumerate(left) if room >= size), len(left))
        if at == len(left):
            left.append(instance["capacity"])
            rolls.append([])
        left[at] -= size
        rolls[at].append(size)
    return rolls


def _least_rolls(instance: Instance) -> int:
    return -(-sum(_sizes(instance)) // instance["capacity"])


def run_first_fit(instance: Instance, limit_s: float) -> Result:
    start = time.process_time()
    rolls = _first_fit(instance)
    return {"cost": len(rolls), "bound": _least_rolls(instance), "seconds": time.process_time() - start}


def run_highs(instance: Instance, limit_s: float) -> Result:
    """Assignment model: n[i, r] pieces of kind i from roll r, rolls used in sequence."""
    import highspy

    start = time.process_time()
    highs = highspy.Highs()
    highs.silent()
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("time_limit", limit_s)
    rolls = range(len(_first_fit(instance)))
    used = [highs.addBinary(obj=1.0) for _ in rolls]
    cut = [[highs.addIntegral(0, i["quantity"]) for _ in rolls] for i in instance["items"]]
    for i, item in enumerate(instance["items"]):
        highs.addConstr(sum(cut[i][r] for r in rolls) == item["quantity"])
    for r in rolls:
        filled = sum(item["length"] * cut[i][r] for i, item in enumerate(instance["items"]))
        highs.addConstr(filled <= instance["capacity"] * used[r])
        if r:
            highs.addConstr(used[r] <= used[r - 1])
    if time.process_time() - start < limit_s:
        highs.setOptionValue("time_limit", limit_s - (time.process_time() - start))
        highs.minimize()
    info = highs.getInfo()
    done = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
    cost = round(info.objective_function_value) if done else len(rolls)
    bound = info.mip_dual_bound if abs(info.mip_dual_bound) < highspy.kHighsInf else 0.0
    bound = cost if done else max(_least_rolls(instance), math.ceil(bound - 1e-6))
    return {"cost": cost, "bound": bound, "seconds": time.process_time() - start}


def run_cp_sat(instance: Instance, limit_s: float) -> Result:
    """The same assignment model in CP-SAT."""
    from ortools.sat.python import cp_model

    start = time.process_time()
    model = cp_model.CpModel()
    rolls = range(len(_first_fit(instance)))
    used = [model.new_bool_var("") for _ in rolls]
    cut = [[model.new_int_var(0, i["quantity"], "") for _ in rolls] for i in instance["items"]]
    for i, item in enumerate(instance["items"]):
        model.add(sum(cut[i]) == item["quantity"])
    for r in rolls:
        filled = sum(item["length"] * cut[i][r] for i, item in enumerate(instance["items"]))
        model.add(filled <= instance["capacity"] * used[r])
        if r:
            model.add_implication(used[r], used[r - 1])
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = max(limit_s - (time.process_time() - start), 0.01)
    found = solver.solve(model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return {
        "cost": round(solver.objective_value) if found else len(rolls),
        "bound": math.ceil(solver.best_objective_bound - 1e-6),
        "seconds": time.process_time() - start,
    }


def run_packingsolver(instance: Instance, limit_s: float) -> Result:
    """The package as it comes: its own choice of algorithms, as many threads as it takes."""
    import packingsolver.onedimensional as one

    start = time.process_time()
    builder = one.InstanceBuilder()
    builder.set_objective(one.Objective.BinPacking)
    builder.add_bin_type(instance["capacity"], copies=len(_first_fit(instance)))
    for item in instance["items"]:
        builder.add_item_type(item["length"], copies=item["quantity"])
    parameters = one.OptimizeParameters()
    parameters.verbosity_level = 0
    parameters.messages_to_stdout = False
    parameters.time_limit = limit_s
    found = one.optimize(builder.build(), parameters)
    whole = found.solution.number_of_items() == sum(i["quantity"] for i in instance["items"])
    return {
        "cost": found.solution.number_of_bins() if whole else len(_first_fit(instance)),
        "bound": found.bin_packing_bound,
        "seconds": (time.process_time() - start) / (os.cpu_count() or 1),
    }


SOLVERS: dict[str, Callable[[Instance, float], Result]] = {
    "slingwright": run_own,
    "HiGHS": run_highs,
    "CP-SAT": run_cp_sat,
    "packingsolver": run_packingsolver,
    "first fit": run_first_fit,
}


def load_state(path: Path | None) -> dict[tuple[str, str], Result]:
    if path is None or not path.exists():
        return {}
    rows = (json.loads(line) for line in path.read_text(encoding="utf-8").splitlines())
    return {(row["solver"], row["name"]): row for row in rows}


def run_all(args: argparse.Namespace, solvers: list[str]) -> list[Result]:
    done = load_state(args.state)
    rows = []
    for instance in read_instances(args.folder, args.files, args.only, args.names):
        for solver in solvers:
            if solver != "slingwright" and "capacity" not in instance:
                continue  # a general model of leftovers' worth is no fair peer
            row = done.get((solver, instance["name"]))
            if row is None:
                wall_s = args.limit * (1.0 if solver == "slingwright" else args.patience)
                found = SOLVERS[solver](instance, wall_s)
                optimum = instance.get("optimum")
                row = {
                    "solver": solver,
                    "file": instance["file"],
                    "name": instance["name"],
                    "optimum": optimum,
                }
                row |= found
                row["proved"] = found["cost"] == found["bound"] and found["seconds"] <= args.limit * 1.05
                row["starved"] = was_starved(solver, row, args.limit)
                if args.state is not None and not row["starved"]:
                    with args.state.open("a", encoding="utf-8") as file:
                        file.write(json.dumps(row) + "\n")
            if row["proved"] and row["optimum"] not in (None, row["cost"]):
                raise SystemExit(f"{solver} 'proved' {row['cost']} on {row['name']}: known {row['optimum']}")
            print_row(row)
            rows.append(row)
    return rows


def was_starved(solver: str, row: Result, limit_s: float) -> bool:
    """Whether a solver without a proof had less processor time than it was to have."""
    searches = solver not in ("slingwright", "first fit")
    cores = (os.cpu_count() or 1) if solver == "packingsolver" else 1
    return bool(searches and not row["proved"] and row["seconds"] * cores < 0.9 * limit_s)


def print_row(row: Result) -> None:
    gap = "proved" if row["proved"] else f"gap {row['cost'] - row['bound']}" if row["cost"] else "no plan"
    print(
        f"{row['solver']:13} {row['name']:28} {row['cost']!s:>9} {gap:>10} {row['seconds']:8.2f} s",
        flush=True,
    )


def print_summary(rows: list[Result], solvers: list[str], limit_s: float) -> None:
    print(f"\n{'solver':13} {'file':13} {'proved':>12} {'geometric mean s':>17}")
    means: dict[str, float] = {}
    for solver in solvers:
        own = [r for r in rows if r["solver"] == solver]
        for file in [*sorted({r["file"] for r in own}), "all"]:
            part = [r for r in own if file in ("all", r["file"])]
            if not part:
                continue
            seconds = [min(r["seconds"], limit_s) if r["proved"] else limit_s for r in part]
            mean = math.exp(sum(math.log(max(s, 1e-3)) for s in seconds) / len(part))
            means[solver] = mean
            print(f"{solver:13} {file:13} {sum(r['proved'] for r in part):5} of {len(part):3} {mean:17.3f}")
    starved = [r for r in rows if was_starved(r["solver"], r, limit_s)]
    if starved:
        print(f"\n{len(starved)} runs of peers had too little processor time to judge them: no ratio")
        return
    general = [means[s] for s in ("HiGHS", "CP-SAT") if s in means]
    if general:
        ratio = min(general) / means["slingwright"]
        print(f"\nslingwright is {ratio:.0f} times faster than the better general solver (a floor)")


def run_days(days: int, keep: str, limit_s: float) -> None:
    """Whole days, each within the limit; prints what is proved, and the gap of what is not."""
    from shop_day import shop_day
    from slingwright.make.cutting import parse_cut
    from slingwright.make.cutting.solve import solve_cut

    proved = 0
    for seed in range(days):
        start = time.process_time()
        plans = []
        problems = parse_cut(shop_day(seed, keep)).problems
        for at, problem in enumerate(sorted(problems, key=lambda p: len(p.pieces))):
            left = max(limit_s - (time.process_time() - start), 0.01) / (len(problems) - at)
            plans.append(solve_cut(problem, time_limit_s=left, clock=time.process_time))
        seconds = time.process_time() - start
        open_plans = [p for p in plans if p.gap != 0]
        proved += not open_plans and seconds <= limit_s
        gaps = ", ".join(f"{p.problem.name}: gap {p.gap} of {p.cost} mm" for p in open_plans)
        wishes = [p.wishes for p in plans if p.wishes is not None]
        before, after = (sum(getattr(w, s).extra_rolls for w in wishes) for s in ("before", "after"))
        told = f"further rolls of orders {before} -> {after} for {sum(p.spent for p in plans)} mm"
        print(f"day {seed:3} {seconds:6.2f} s  {gaps or 'proved'}; {told}", flush=True)
    print(f"{proved} of {days} days planned and proved within {limit_s:g} s")


def main() -> None:
    parser = argparse.ArgumentParser(description="Time to a proven cut plan, beside general solvers.")
    parser.add_argument("folder", type=Path, nargs="?")
    parser.add_argument("--days", type=int, help="plan so many days of a fictional shop instead")
    parser.add_argument(
        "--keep", choices=("nothing", "sling"), default="nothing", help="what is kept together"
    )
    parser.add_argument("--files", nargs="+", default=["falkenauer", "own", "shop", "bpplib"])
    parser.add_argument("--only", default="", help="regular expression on the instance's name")
    parser.add_argument("--names", type=Path, help="file of the names to run, one a line")
    parser.add_argument("--limit", type=float, default=10.0, help="seconds an instance")
    parser.add_argument("--patience", type=float, default=1.0, help="a peer's wall clock over the limit")
    parser.add_argument("--peers", action="store_true", help="run the peers too")
    parser.add_argument("--state", type=Path, help="results so far, one JSON object a line")
    args = parser.parse_args()
    solvers = ["slingwright"]
    if args.peers:
        solvers += ["HiGHS", "first fit"]
        for solver, package in (("CP-SAT", "ortools"), ("packingsolver", "packingsolver")):
            if importlib.util.find_spec(package) is not None:
                solvers.append(solver)
            else:
                print(f"{solver}: {package} is not installed, left out")
    warm = {"name": "warm", "capacity": 9, "items": [{"length": n, "quantity": 3} for n in (5, 4, 3)]}
    run_own(warm, 60.0)  # compiled code is loaded once a process, not once an instance
    if args.days is not None:
        run_days(1, args.keep, 60.0)  # day 0 twice: the first one compiles
        run_days(args.days, args.keep, args.limit)
        return
    if args.folder is None:
        parser.error("the folder of the instances is missing")
    print_summary(run_all(args, solvers), solvers, args.limit)


if __name__ == "__main__":
    main()
