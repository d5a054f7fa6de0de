"""Cutting lists from fixed seeds with their least cost and then least area, by HiGHS.

Every way to saw a board is written down and HiGHS picks how often each is sawn; nothing is shared with the
program. Lengths are in tenths of a millimetre. `cargo xtask references` runs this with the file to write;
`cargo xtask bench` with `--time rolls.csv`, for how long HiGHS takes on the published rolls.
"""

import json
import random
import sys
import time
from importlib.metadata import version

import highspy


def stretches(side, edge, bad, kerf):
    """Sound wood between edges and bad places, from and to."""
    found, begin, end = [], edge, side - edge
    for bad_from, bad_to in sorted(bad) + [(end, end)]:
        stop = min(bad_from, end)
        if stop > begin:
            found.append(stop - begin)
            begin = stop + kerf
        begin = max(begin, bad_to)
    return found


def plus(one, other, demands):
    return tuple(min(a + b, d) for a, b, d in zip(one, other, demands))


def largest(vectors):
    """Without vectors that another covers."""
    vectors = sorted(set(vectors), key=lambda vector: -sum(vector))
    kept = []
    for vector in vectors:
        if not any(all(a <= b for a, b in zip(vector, other)) for other in kept):
            kept.append(vector)
    return kept


def fillings(room, sizes, kerf, demands):
    """How many of each size follow each other on a stretch."""
    found = []

    def fill(place, room, chosen):
        if place == len(sizes):
            found.append(tuple(chosen))
            return
        for count in range(demands[place] + 1):
            if count * (sizes[place] + kerf) <= room + kerf:
                fill(place + 1, room - count * (sizes[place] + kerf), chosen + [count])

    fill(0, room, [])
    return largest(found)


def patterns(job, board):
    """What one board can give, as vectors of the parts."""
    parts, kerf = job["parts"], job["kerf"]
    demands = [part["count"] for part in parts]
    none = tuple(0 for _ in parts)
    along = stretches(board["length"], job["edge"], board["bad"], kerf)
    if parts[0]["width"] is None:
        runs, stacks = along, None
        run_of, stack_of = "length", None
    else:
        across = stretches(board["width"], job["edge"], [], kerf)
        is_rip = job["order"] == "rip-first"
        runs, stacks = (along, across) if is_rip else (across, along)
        run_of, stack_of = ("length", "width") if is_rip else ("width", "length")

    def strip(limit):
        kept = [part[run_of] if limit is None or part[stack_of] <= limit else 10**9 for part in parts]
        ways = [none]
        for run in runs:
            ways = largest([plus(way, more, demands) for way in ways for more in fillings(run, kept, kerf, demands)])
        return ways

    if stacks is None:
        return [way for way in strip(None) if any(way)]
    classes = sorted({part[stack_of] for part in parts})
    strips = [(size, strip(size)) for size in classes]
    whole = [none]
    for stack in stacks:
        ways = []

        def pile(place, room, chosen):
            ways.append(chosen)
            for at in range(place, len(strips)):
                size, vectors = strips[at]
                if size <= room:
                    for vector in vectors:
                        more = plus(chosen, vector, demands)
                        if more != chosen:
                            pile(at, room - size - kerf, more)

        pile(0, stack, none)
        ways = largest(ways)
        whole = largest([plus(way, more, demands) for way in whole for more in ways])
    return [way for way in whole if any(way)]


def solve(job):
    """The least cost, and the least area at that cost; None where the boards do not do."""
    columns = [(place, vector) for place, board in enumerate(job["boards"]) for vector in patterns(job, board)]
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_abs_gap", 0.0)
    highs.setOptionValue("random_seed", 1)
    amounts = [highs.addIntegral(lb=0) for _ in columns]
    for at, part in enumerate(job["parts"]):
        makes = [(vector[at], amount) for (_, vector), amount in zip(columns, amounts) if vector[at]]
        if not makes:
            return None
        highs.addConstr(sum(count * amount for count, amount in makes) >= part["count"])
    for place, board in enumerate(job["boards"]):
        used = [amount for (at, _), amount in zip(columns, amounts) if at == place]
        if board["count"] is not None and used:
            highs.addConstr(sum(used) <= board["count"])
    boards = job["boards"]
    prices = [boards[place]["price"] for place, _ in columns]
    areas = [(boards[place]["length"] * (boards[place]["width"] or 1)) for place, _ in columns]
    cost = sum(price * amount for price, amount in zip(prices, amounts))
    if any(prices):
        highs.minimize(cost)
        if highs.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
            return None
        assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, highs.getModelStatus()
        least = round(highs.getObjectiveValue())
        highs.addConstr(cost <= least + 0.25)
    else:
        least = 0
    scale = max(areas)
    highs.minimize(sum(area / scale * amount for area, amount in zip(areas, amounts)))
    if highs.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return None
    assert highs.getModelStatus() == highspy.HighsModelStatus.kOptimal, highs.getModelStatus()
    used = highs.getSolution().col_value
    area = sum(round(amount) * area for amount, area in zip(used, areas))
    return {"cost": least, "area": area}


def drawn(seed):
    """A job from a seed."""
    draw = random.Random(seed)
    has_widths = seed % 2 == 1
    pick = lambda low, high, step: draw.randrange(low, high + 1, step)
    n_parts = draw.randint(2, 4) if has_widths else draw.randint(2, 7)
    most = 5 if has_widths else 14
    parts = [
        {
            "part": f"p{number}",
            "length": pick(2_500, 11_000, 50),
            "width": pick(300, 1_400, 50) if has_widths else None,
            "count": draw.randint(1, most),
        }
        for number in range(n_parts)
    ]
    boards = []
    for number in range(draw.randint(1, 3)):
        is_salvaged = number > 0 and draw.random() < 0.5
        length = pick(12_000, 30_000, 100)
        bad_from = pick(1_000, 9_000, 10)
        boards.append(
            {
                "board": f"b{number}",
                "length": length,
                "width": pick(1_450, 2_600, 50) if has_widths else None,
                "price": 0 if is_salvaged else pick(300, 2_000, 5),
                "count": draw.randint(1, 4) if is_salvaged or draw.random() < 0.15 else None,
                "bad": [[bad_from, bad_from + pick(10, 900, 10)]] if is_salvaged and draw.random() < 0.6 else [],
            }
        )
    if draw.random() < 0.15:
        for board in boards:
            board["price"] = 0
    return {
        "seed": seed,
        "parts": parts,
        "boards": boards,
        "kerf": draw.choice([0, 20, 32, 40]),
        "edge": draw.choice([0, 0, 50]),
        "order": draw.choice(["rip-first", "crosscut-first"]),
    }


def rolls(rows):
    """The published rolls of 5600 mm."""
    parts = [{"length": 10 * int(length), "width": None, "count": int(count)} for length, count in rows]
    board = {"length": 56_000, "width": None, "price": 1, "count": None, "bad": []}
    return {"parts": parts, "boards": [board], "kerf": 0, "edge": 0, "order": "rip-first"}


def main():
    if sys.argv[1] == "--time":
        with open(sys.argv[2], encoding="utf-8") as file:
            job = rolls([line.split(",") for line in file.read().split()[1:]])
        started = time.perf_counter()
        found = solve(job)
        print(f"beside it, HiGHS {version('highspy')} over all patterns of the lengths: cost {found['cost']}, {time.perf_counter() - started:.3f} s")
        return
    jobs = []
    for seed in range(1, 121):
        job = drawn(seed)
        job["least"] = solve(job)
        jobs.append(job)
    head = {"highspy": version("highspy"), "unit": "0.1 mm"}
    lines = ",\n".join("  " + json.dumps(job) for job in jobs)
    with open(sys.argv[1], "w", encoding="utf-8") as file:
        file.write(f'{{\n "made_by": {json.dumps(head)},\n "jobs": [\n{lines}\n ]\n}}\n')


main()
