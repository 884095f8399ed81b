#!/usr/bin/env python3
"""Layouts of `fence posts` against a constraint solver, wish by wish.

    pip install ortools
    cargo build --release -p fence-cli
    python3 benches/constraint_solver.py target/release/fence [INSTANCES] \\
        [--seed N] [--each SECONDS] [--whole SECONDS]

Draws runs of 16 to 130 ft from a published seed, asks the program and CP-SAT for
each, prints a line for each, and stops at the first whose objectives differ. The
solver is told nothing of the program's answer. A run that it can't prove in time is
counted as unproven, never as equal; what it has proven and found by then must still
not be better than the program's answer.

Runs are of panels between posts, of panels on their faces, or built in bays; on a
lattice of 1/16 or 1/2 in; cut to any width or by a step; some with wishes in another
order. Fabric, latch posts, sloping ground, arcs, runners-up and rule 10, by which
ties are decided, are left out. The program's time is that of a whole process, start-up and runners-up
included. The runs are invented.
"""

import argparse
import json
import os
import random
import statistics
import subprocess
import tempfile
import time

from ortools.sat.python import cp_model

WISHES = [
    "hand_dug", "cuts", "sections", "changes",
    "end_steps", "cut_squares", "gate_miss", "cut_reach",
]

# Cuts that are tried before as many as the run could hold.
FEW_CUTS = 3


def drawn(dice):
    """A run in steps of its lattice."""
    inch = dice.choice([2, 16])
    length = dice.randint(16, 130) * 12 * inch + dice.randint(0, 12 * inch)

    def spans(most, wide):
        found = []
        for _ in range(dice.randint(0, most)):
            start = dice.randint(0, length)
            found.append((start, start + dice.randint(0, wide * inch)))
        return found

    def end():
        least = dice.randint(0, 3 * inch)
        return {
            "least": least, "most": least + dice.randint(0, 2 * inch),
            "wish": least + dice.randint(0, inch), "hole": dice.random() < 0.8,
        }

    gates = []
    for _ in range(dice.randint(0, 2)):
        wish = dice.randint(40 * inch, length - 40 * inch)
        window = (wish - dice.randint(0, 24 * inch), wish + dice.randint(0, 24 * inch))
        gates.append((dice.randint(36, 60) * inch, window, wish))
    build = dice.choice(["panels", "panels", "panels_on_face", "stick"])
    bays = build == "stick"
    order = dice.sample(WISHES, dice.randint(1, 3)) if dice.random() < 0.3 else []
    return {
        "inch": inch, "length": length,
        "line_post": 4 * inch, "gate_post": 5 * inch, "end_post": 4 * inch,
        "full": dice.randint(70, 92) * inch, "min_cut": dice.randint(11, 20) * inch,
        "gates": gates, "start": end(), "end": end(),
        "no_dig": spans(2, 24), "hand_dig": spans(2, 48),
        "show": [] if bays else spans(1, 120),
        "guard": not bays and dice.random() < 0.3,
        "hide": None if bays else dice.choice([None, "start", "end"]),
        "build": build, "bays": bays, "on_face": build == "panels_on_face",
        "cut_step": dice.randint(2, 6) * inch if not bays and dice.random() < 0.25 else 1,
        "order": order + [wish for wish in WISHES if wish not in order],
    }


def request(run):
    """The run as `fence posts` reads it: numbers are inches."""
    inches = lambda steps: steps / run["inch"]
    pairs = lambda spans: [[inches(a), inches(b)] for a, b in spans]

    def end(face):
        return {"face_min": inches(face["least"]), "face_max": inches(face["most"]),
                "face_wish": inches(face["wish"]), "post": inches(run["end_post"]),
                "hole": face["hole"]}

    asked = {
        "build": run["build"], "lattice": inches(1), "order": run["order"],
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
    if run["cut_step"] > 1:
        asked["cutting"] = {"step": inches(run["cut_step"])}
    return asked


def ask_fence(program, run):
    """The wishes of the program's answer in the order asked, or nothing."""
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "run.json")
        with open(path, "w", encoding="utf-8") as file:
            json.dump(request(run), file)
        start = time.perf_counter()
        answer = subprocess.run([program, "posts", path, "--json"], capture_output=True, text=True)
        taken = time.perf_counter() - start
    if answer.returncode == 2:
        raise SystemExit(f"refused: {answer.stderr}\n{json.dumps(request(run))}")
    objective = json.loads(answer.stdout)["objective"]
    return objective and [objective[wish] for wish in run["order"]], taken


class Slots:
    """How many sections a layout can have."""

    def __init__(self, run):
        gates = len(run["gates"])
        post = 0 if run["on_face"] else min(run["line_post"], run["gate_post"])
        room = run["length"] + post + (2 * run["end_post"] if run["on_face"] else 0)
        least = min([run["min_cut"], *(opening for opening, _, _ in run["gates"])])
        self.fulls = room // (run["full"] + post) + gates
        self.most = max(1, room // (least + post) + (gates if run["on_face"] else 0))
        self.few = min(self.most, self.fulls + FEW_CUTS)


def build(run, slots):
    """The problem as stated, with so many slots for sections; a sum for each wish."""
    model = cp_model.CpModel()
    length, full, line, gated = run["length"], run["full"], run["line_post"], run["gate_post"]
    bays, on_face = run["bays"], run["on_face"]
    sums = {wish: [] for wish in WISHES}
    lap = run["end_post"] if on_face else 0
    start = model.new_int_var(run["start"]["least"], run["start"]["most"], "")
    end = model.new_int_var(run["end"]["least"], run["end"]["most"], "")
    middles = []
    for _, window, wish in run["gates"]:
        middle = model.new_int_var(2 * window[0], 2 * window[1], "")
        miss = model.new_int_var(0, 2 * max(abs(side - wish) for side in window), "")
        model.add_abs_equality(miss, middle - 2 * wish)
        sums["gate_miss"].append(miss)
        middles.append(middle)
    rows = [section(model, run, sums) for _ in range(slots)]
    for k in range(len(run["gates"])):
        model.add_exactly_one(row["gates"][k] for row in rows)
    first, last = rows[0], rows[-1]
    model.add(first["used"] == 1)

    # Unused slots have no width and stand behind the last section.
    at = model.new_int_var(-lap, length + lap, "")
    model.add(at == start - lap + lap * first["gate"])
    holes = [(2 * start - run["end_post"], [])] if run["start"]["hole"] else []
    last_gate = 0
    for before, row in zip([None, *rows], rows):
        if before:
            post, hole = between(model, run, before, row, at)
            holes.append((hole, [row["used"]]))
            near = model.new_int_var(-lap, length + lap, "")
            model.add(near == at + post)
            at = near
            # The last section is a gate where this one is, and nothing follows.
            ends = model.new_bool_var("")
            model.add_bool_and([before["gate"], ~row["used"]]).only_enforce_if(ends)
            model.add_bool_or([~before["gate"], row["used"], ends])
            last_gate = last_gate + ends
        row["near"] = at
        at = model.new_int_var(-lap, length + lap, "")
        model.add(at == row["near"] + row["width"])
        row["far"] = at
        for gate, middle in zip(row["gates"], middles):
            model.add(middle == row["near"] + row["far"]).only_enforce_if(gate)
    last_gate = last_gate + last["gate"]
    model.add(at == length - end + lap - lap * last_gate)
    if run["end"]["hole"]:
        holes.append((2 * length - 2 * end + run["end_post"], []))
    dig(model, run, holes, sums)
    if not bays:
        place_cuts(model, run, rows, sums)
    for face, asked in [(start, run["start"]), (end, run["end"])]:
        apart = model.new_int_var(0, length, "")
        model.add_abs_equality(apart, face - asked["wish"])
        sums["end_steps"].append(apart)
    return model, sums


def section(model, run, sums):
    """One slot: what stands in it, and how wide it is."""
    full, step = run["full"], run["cut_step"]
    row = {name: model.new_bool_var("") for name in ["full", "cut", "gate", "used"]}
    row["gates"] = [model.new_bool_var("") for _ in run["gates"]]
    model.add(sum(row["gates"]) == row["gate"])
    model.add(row["full"] + row["cut"] + row["gate"] == row["used"])
    most = (full - run["min_cut"]) // step
    least = 0 if run["bays"] else 1
    steps = model.new_int_var(0, most, "")
    model.add(steps <= most * row["cut"])
    model.add(steps >= least * row["cut"])
    square = model.new_int_var(0, most**2, "")
    model.add_multiplication_equality(square, [steps, steps])
    # Chords of the parabola between neighboring whole numbers, for the bound.
    for k in {most * i // 24 for i in range(24)}:
        model.add(square >= (2 * k + 1) * steps - k * (k + 1))
    openings = sum(gate * opening for gate, (opening, _, _) in zip(row["gates"], run["gates"]))
    row["width"] = full * row["full"] + full * row["cut"] - step * steps + openings
    sums["cut_squares"].append(step**2 * square)
    sums["sections"].append(row["used"])
    if run["bays"]:
        model.add(row["full"] == 0)
    else:
        sums["cuts"].append(row["cut"])
    return row


def between(model, run, before, after, at):
    """The room that a post takes behind `at`, where the section before it ends, and
    its doubled center."""
    line, gated = run["line_post"], run["gate_post"]
    model.add_implication(after["used"], before["used"])
    both, either = model.new_bool_var(""), model.new_bool_var("")
    model.add_bool_and([before["gate"], after["gate"]]).only_enforce_if(both)
    model.add_bool_or([~before["gate"], ~after["gate"], both])
    # Where nothing follows, there is no post.
    model.add_implication(after["gate"], either)
    model.add_bool_or([~before["gate"], ~after["used"], either])
    model.add_bool_or([before["gate"], after["gate"], ~either])
    model.add_implication(either, after["used"])
    if not run["on_face"]:
        post = line * after["used"] + (gated - line) * either
        return post, 2 * at + post
    # A panel runs over the post: to its middle beside a panel, else over all of it.
    onto = model.new_bool_var("")
    model.add(onto == either - both)
    left = model.new_bool_var("")
    model.add_bool_and([before["gate"], after["used"]]).only_enforce_if(left)
    model.add_bool_or([~before["gate"], ~after["used"], left])
    right = model.new_bool_var("")
    model.add_bool_and([~before["gate"], after["gate"]]).only_enforce_if(right)
    model.add_bool_or([before["gate"], ~after["gate"], right])
    return gated * both, 2 * at + gated * left - gated * right


def dig(model, run, holes, sums):
    """No hole in a no-dig stretch, and which are dug by hand; centers are doubled."""
    def outside(center, spans, lit):
        inside = cp_model.Domain.from_intervals([[2 * a, 2 * b] for a, b in spans])
        model.add_linear_expression_in_domain(center, inside.complement()).only_enforce_if(lit)

    for center, lit in holes:
        if run["no_dig"]:
            outside(center, run["no_dig"], lit)
        if run["hand_dig"]:
            hand = model.new_bool_var("")
            outside(center, run["hand_dig"], [*lit, ~hand])
            sums["hand_dug"].append(hand)


def place_cuts(model, run, rows, sums):
    """Neighbors of cuts, parts that show, and how far cuts are from the hidden end."""
    length = run["length"]
    for before, after in zip(rows, rows[1:]):
        change = model.new_bool_var("")
        for a, b in [(before, after), (after, before)]:
            model.add_bool_or([change, ~a["full"], ~b["cut"]])
            if run["guard"]:
                model.add_bool_or([~a["gate"], ~b["cut"]])
        sums["changes"].append(change)
    for row in rows:
        for start, end in run["show"]:
            if start < end:
                before = model.new_bool_var("")
                model.add(row["far"] <= start).only_enforce_if([before, row["cut"]])
                model.add(row["near"] >= end).only_enforce_if([~before, row["cut"]])
        if run["hide"]:
            # A panel may lap past the reference: the nearer of its two faces counts.
            reference = 0 if run["hide"] == "start" else length
            sides = []
            for face in ["near", "far"]:
                side = model.new_int_var(0, 2 * length, "")
                model.add_abs_equality(side, row[face] - reference)
                sides.append(side)
            reach = model.new_int_var(0, 2 * length, "")
            nearer = model.new_int_var(0, 2 * length, "")
            model.add_min_equality(nearer, sides)
            model.add(reach >= nearer).only_enforce_if(row["cut"])
            sums["cut_reach"].append(reach)


def ask_solver(run, allowed):
    """Every wish minimized in turn and then held.

    Returns what is proven of the wishes, what is found but not proven of the next
    one, if anything, and whether all is proven; nothing fits where the first is None.
    """
    began = time.perf_counter()
    slots = Slots(run)
    count, exact = slots.few, slots.few == slots.most
    model, sums = build(run, count)
    proven, fits = [], False

    def held():
        model, sums = build(run, count)
        for wish, value in zip(run["order"], proven):
            if sums[wish]:
                model.add(sum(sums[wish]) <= value)
        return model, sums

    while len(proven) < len(WISHES):
        wish = run["order"][len(proven)]
        left = allowed - (time.perf_counter() - began)
        if left <= 0:
            return proven, None, False
        if not sums[wish] and fits:
            proven.append(0)
            continue
        model.minimize(sum(sums[wish]))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.linearization_level = 2
        solver.parameters.max_time_in_seconds = left
        status = solver.solve(model)
        if status == cp_model.INFEASIBLE and exact:
            return None, None, True
        if status == cp_model.UNKNOWN:
            return proven, None, False
        if status == cp_model.FEASIBLE:
            return proven, round(solver.objective_value), False
        fits = fits or status == cp_model.OPTIMAL
        # More sections than slots could only serve the wish better where it is not
        # 0 yet, and is not a count that so many slots hold.
        value = 0 if status == cp_model.INFEASIBLE else round(solver.objective_value)
        if status == cp_model.INFEASIBLE:
            count, exact = slots.most, True
        elif wish == "sections" and (exact or value <= count):
            proven.append(value)
            count, exact = value, True
        elif wish == "cuts" and not run["bays"] and (exact or value <= FEW_CUTS):
            proven.append(value)
            count, exact = min(count, slots.fulls + value), True
        elif exact or value == 0:
            proven.append(value)
            if sums[wish]:
                model.add(sum(sums[wish]) <= value)
            continue
        else:
            count, exact = slots.most, True
        model, sums = held()
    return proven, None, True


def verdict(found, proven, better, whole):
    """`equal`, `unproven`, or `differs`."""
    if proven is None or found is None:
        if found is None and proven is None:
            return "equal"
        # Without a proof that nothing fits, no answer is only unproven.
        some = proven is None or proven or better is not None
        return "differs" if some else "unproven"
    if found[:len(proven)] != proven:
        return "differs"
    if not whole:
        found_better = better is not None and better < found[len(proven)]
        return "differs" if found_better else "unproven"
    return "equal"


def main():
    asked = argparse.ArgumentParser(description="fence posts against CP-SAT")
    asked.add_argument("program")
    asked.add_argument("instances", nargs="?", type=int, default=100)
    asked.add_argument("--seed", type=int, default=2026)
    asked.add_argument("--each", type=float, default=60, help="seconds for each run")
    asked.add_argument("--whole", type=float, default=1200, help="seconds for all of them")
    asked = asked.parse_args()
    dice = random.Random(asked.seed)
    began = time.perf_counter()
    ours, theirs, counts, none = [], [], {"equal": 0, "unproven": 0}, 0
    for i in range(asked.instances):
        left = asked.whole - (time.perf_counter() - began)
        if left <= 0:
            print(f"stopped after {asked.whole:.0f} s", flush=True)
            break
        run = drawn(dice)
        found, taken = ask_fence(asked.program, run)
        start = time.perf_counter()
        proven, better, whole = ask_solver(run, min(asked.each, left))
        solver = time.perf_counter() - start
        told = verdict(found, proven, better, whole)
        print(f"{i}: {told}, {run['length'] / run['inch'] / 12:.0f} ft, {run['build']}, "
              f"fence {1000 * taken:.1f} ms, CP-SAT {solver:.2f} s, {found}", flush=True)
        if told == "differs":
            raise SystemExit(f"CP-SAT: {proven}, then {better}\n{json.dumps(request(run))}")
        counts[told] += 1
        if told == "equal":
            none += found is None
            ours.append(taken)
            theirs.append(solver)
    print(f"{counts['equal']} runs equal in every wish, {none} of them without a layout, "
          f"{counts['unproven']} unproven; seed {asked.seed}")
    if ours:
        a, b = statistics.median(ours), statistics.median(theirs)
        print(f"medians of the equal: fence posts {1000 * a:.1f} ms, CP-SAT {1000 * b:.0f} ms, "
              f"ratio {b / a:.0f}")


if __name__ == "__main__":
    main()
