#!/usr/bin/env python3
"""Layouts of `fence posts` against a constraint solver, wish by wish.

    pip install ortools
    cargo build --release -p fence-cli
    python3 benches/constraint_solver.py target/release/fence [INSTANCES] [SEED]

Draws runs of 16 to 130 ft from a published seed, asks the program and CP-SAT for
each, and stops at the first whose objectives differ. Prints the median times and
their ratio; the program's time is that of a whole process, start-up and runners-up
included. The runs are invented.
"""

import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time

from ortools.sat.python import cp_model

INCH = 16
WISHES = [
    "hand_dug", "cuts", "sections", "changes",
    "end_steps", "cut_squares", "gate_miss", "cut_reach",
]


def drawn(dice):
    """A run in sixteenths of an inch."""
    length = dice.randint(16, 130) * 12 * INCH + dice.randint(0, 12 * INCH)

    def spans(most, wide):
        found = []
        for _ in range(dice.randint(0, most)):
            start = dice.randint(0, length)
            found.append((start, start + dice.randint(0, wide * INCH)))
        return found

    def end():
        least = dice.randint(0, 3 * INCH)
        return (least, least + dice.randint(0, 2 * INCH), least + dice.randint(0, INCH))

    gates = []
    for _ in range(dice.randint(0, 2)):
        wish = dice.randint(40 * INCH, length - 40 * INCH)
        window = (wish - dice.randint(0, 24 * INCH), wish + dice.randint(0, 24 * INCH))
        gates.append((dice.randint(36, 60) * INCH, window, wish))
    return {
        "length": length, "line_post": 4 * INCH, "gate_post": 5 * INCH, "end_post": 4 * INCH,
        "full": dice.randint(70, 92) * INCH, "min_cut": dice.randint(10, 20) * INCH,
        "gates": gates, "start": end(), "end": end(),
        "no_dig": spans(2, 24), "hand_dig": spans(2, 48), "show": spans(1, 120),
        "guard": dice.random() < 0.3, "hide": dice.choice([None, "start", "end"]),
        "bays": dice.random() < 0.2,
    }


def request(run):
    """The run as `fence posts` reads it: numbers are inches."""
    inches = lambda steps: steps / INCH
    pairs = lambda spans: [[inches(a), inches(b)] for a, b in spans]

    def end(face):
        least, most, wish = map(inches, face)
        return {"face_min": least, "face_max": most, "face_wish": wish,
                "post": inches(run["end_post"])}

    asked = {
        "build": "stick" if run["bays"] else "panels",
        "gates": [{"opening": inches(opening), "from": inches(a), "to": inches(b),
                   "wish": inches(wish)} for opening, (a, b), wish in run["gates"]],
        "start": end(run["start"]), "end": end(run["end"]), "guard": run["guard"],
    }
    for name in ["length", "line_post", "gate_post", "full", "min_cut"]:
        asked[name] = inches(run[name])
    for name in ["no_dig", "hand_dig", "show"]:
        asked[name] = pairs(run[name])
    if run["hide"]:
        asked["hide"] = run["hide"]
    return asked


def ask_fence(program, run):
    """The objective of the program, or nothing where there is no layout."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "run.json")
        with open(path, "w", encoding="utf-8") as file:
            json.dump(request(run), file)
        start = time.perf_counter()
        answer = subprocess.run([program, "posts", path, "--json"], capture_output=True, text=True)
        taken = time.perf_counter() - start
    if answer.returncode == 2:
        raise SystemExit(f"refused: {answer.stderr}\n{run}")
    objective = json.loads(answer.stdout)["objective"]
    return objective and [objective[wish] for wish in WISHES], taken


def beside(model, center, span, lit):
    """The doubled center lies before or behind a closed span, where all of `lit`."""
    before = model.new_bool_var("")
    model.add(center <= 2 * span[0] - 1).only_enforce_if([before, *lit])
    model.add(center >= 2 * span[1] + 1).only_enforce_if([~before, *lit])


def build(run):
    """The problem as stated, by slots from the start; and a sum for each wish."""
    model = cp_model.CpModel()
    length, full, line, gated = run["length"], run["full"], run["line_post"], run["gate_post"]
    slots = length // (run["min_cut"] + line) + 1 + len(run["gates"])
    slots = min(slots, length // (full + line) + 9 + len(run["gates"]))
    sums = {wish: [] for wish in WISHES}
    rows = []
    for i in range(slots):
        row = {
            "full": model.new_bool_var(""), "cut": model.new_bool_var(""),
            "gates": [model.new_bool_var("") for _ in run["gates"]],
            "used": model.new_bool_var(""), "gate": model.new_bool_var(""),
            "near": model.new_int_var(0, 2 * length, ""),
            "far": model.new_int_var(0, 2 * length, ""),
        }
        kinds = [row["full"], row["cut"], *row["gates"]]
        model.add(sum(kinds) == row["used"])
        model.add(sum(row["gates"]) == row["gate"])
        if run["bays"]:
            model.add(row["full"] == 0)
        else:
            sums["cuts"].append(row["cut"])
        sums["sections"].append(row["used"])
        width = row["far"] - row["near"]
        model.add(width == full).only_enforce_if(row["full"])
        off = model.new_int_var(0, full - run["min_cut"], "")
        model.add(off == 0).only_enforce_if(~row["cut"])
        model.add(width == full - off).only_enforce_if(row["cut"])
        if not run["bays"]:
            model.add(off >= 1).only_enforce_if(row["cut"])
        square = model.new_int_var(0, (full - run["min_cut"]) ** 2, "")
        model.add_multiplication_equality(square, [off, off])
        sums["cut_squares"].append(square)
        for gate, (opening, window, wish) in zip(row["gates"], run["gates"]):
            model.add(width == opening).only_enforce_if(gate)
            middle = row["near"] + row["far"]
            model.add_linear_constraint(middle, 2 * window[0], 2 * window[1]).only_enforce_if(gate)
            miss = model.new_int_var(0, 4 * length, "")
            model.add(miss >= middle - 2 * wish).only_enforce_if(gate)
            model.add(miss >= 2 * wish - middle).only_enforce_if(gate)
            sums["gate_miss"].append(miss)
        rows.append(row)
    for k in range(len(run["gates"])):
        model.add(sum(row["gates"][k] for row in rows) == 1)
    model.add(rows[0]["used"] == 1)
    last = model.new_int_var(length - run["end"][1], length - run["end"][0], "")
    model.add_linear_constraint(rows[0]["near"], run["start"][0], run["start"][1])
    half = run["end_post"]
    holes = [(2 * rows[0]["near"] - half, []), (2 * last + half, [])]
    for before, after in zip(rows, rows[1:]):
        model.add_implication(after["used"], before["used"])
        by_gate = model.new_bool_var("")
        model.add_bool_or([before["gate"], after["gate"]]).only_enforce_if(by_gate)
        model.add_bool_and([~before["gate"], ~after["gate"]]).only_enforce_if(~by_gate)
        post = line + (gated - line) * by_gate
        model.add(after["near"] == before["far"] + post).only_enforce_if(after["used"])
        model.add(last == before["far"]).only_enforce_if([before["used"], ~after["used"]])
        holes.append((before["far"] + after["near"], [after["used"]]))
        if not run["bays"]:
            change = model.new_bool_var("")
            for a, b in [(before, after), (after, before)]:
                model.add_bool_or([change, ~a["full"], ~b["cut"]])
                if run["guard"]:
                    model.add_bool_or([~a["gate"], ~b["cut"]])
            sums["changes"].append(change)
    model.add(last == rows[-1]["far"]).only_enforce_if(rows[-1]["used"])
    for center, lit in holes:
        for span in run["no_dig"]:
            beside(model, center, span, lit)
        if run["hand_dig"]:
            hand = model.new_bool_var("")
            for span in run["hand_dig"]:
                beside(model, center, span, [*lit, ~hand])
            sums["hand_dug"].append(hand)
    if not run["bays"]:
        for row in rows:
            for start, end in run["show"]:
                if start < end:
                    before = model.new_bool_var("")
                    model.add(row["far"] <= start).only_enforce_if([before, row["cut"]])
                    model.add(row["near"] >= end).only_enforce_if([~before, row["cut"]])
            if run["hide"]:
                # Faces are inside the run: the nearer one is the near or the far.
                reach = model.new_int_var(0, 2 * length, "")
                at = row["near"] if run["hide"] == "start" else length - row["far"]
                model.add(reach >= at).only_enforce_if(row["cut"])
                sums["cut_reach"].append(reach)
    for at, wish in [(rows[0]["near"], run["start"][2]), (last, length - run["end"][2])]:
        apart = model.new_int_var(0, 2 * length, "")
        model.add_abs_equality(apart, at - wish)
        sums["end_steps"].append(apart)
    return model, sums


def ask_solver(run):
    """Every wish minimized in turn and then held; nothing where nothing fits."""
    start = time.perf_counter()
    model, sums = build(run)
    found = []
    for wish in WISHES:
        total = sum(sums[wish])
        if not sums[wish]:
            found.append(0)
            continue
        model.minimize(total)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE:
            return None, time.perf_counter() - start
        assert status == cp_model.OPTIMAL, solver.status_name(status)
        value = round(solver.objective_value)
        found.append(value)
        model.add(total <= value)
    return found, time.perf_counter() - start


def main():
    program = sys.argv[1]
    count = int(sys.argv[2]) if len(sys.argv) > 2 else 50
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 2026
    dice = random.Random(seed)
    ours, theirs, none = [], [], 0
    for i in range(count):
        run = drawn(dice)
        found, taken = ask_fence(program, run)
        expected, solver = ask_solver(run)
        if found != expected:
            raise SystemExit(f"run {i} differs: {found}, solver {expected}\n{json.dumps(request(run))}")
        none += found is None
        ours.append(taken)
        theirs.append(solver)
    a, b = statistics.median(ours), statistics.median(theirs)
    print(f"{count} runs equal in every wish, {none} of them without a layout; seed {seed}")
    print(f"medians: fence posts {1000 * a:.1f} ms, CP-SAT {1000 * b:.1f} ms, ratio {b / a:.0f}")


if __name__ == "__main__":
    main()
