"""Hiding the scratch: P or CAMI, deepest or mean, the thinnest recoat, what shows, strokes in all, waves."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise


@exercise("hiding-1", "How deep the deepest go")
def deepest(draw: Draw) -> Question:
    number = draw.pick(240, 280, 320)  # of finer ones the largest grain of CAMI is as large as a mean one of P
    share = draw.pick(*(0.001 * thousandths for thousandths in range(50, 72, 2)))
    paper, other = (sanding.read_grade(f"{scale}{number}") for scale in ("P", "CAMI "))
    mean = share * paper.grain_size
    answer = draw.figure(mean * paper.outlier_ratio, "scratch_depth")
    grains = [f"{draw.figure(one.grain_size, 'grain_size'):3}" for one in (paper, other)]
    return Question(
        ask=f"The back of your paper says P{number}. Two lists give grains for the number {number}: {grains[0]} "
        f"for P, {grains[1]} for CAMI. Under your hand the mean scratch is {draw.percent(share)} of the grain deep, "
        f"and the largest grains cut {paper.outlier_ratio:.3g} times as deep. How deep are the scratches that the "
        "recoat must hide?",
        answer=answer,
        slips=[
            (share * other.grain_size * paper.outlier_ratio, "You read the P as CAMI: its grains are smaller."),
            (mean, "That is the mean scratch. You see the deepest ones."),
            (
                paper.grain_size * paper.outlier_ratio,
                "That is the largest grain itself: only a small share of it sinks in.",
            ),
            (
                share * other.grain_size,
                "That is the mean scratch of a CAMI paper: the letter, and the largest grains.",
            ),
        ],
        hints=[
            "Look at the letter before the number: which list counts?",
            "The mean scratch is the share times the grain.",
            "What must be hidden is the deepest.",
        ],
        way=f"{grains[0]} × {draw.percent(share)} × {paper.outlier_ratio:.3g} = {answer:3}.",
    )


@exercise("hiding-2", "How thin may it be?")
def thinnest(draw: Draw) -> Question:
    fill = draw.between("scratch_depth", "3 µm", "5 µm", "0.2 µm")
    mean = draw.figure(fill / draw.pick(1.4, 1.5), "scratch_depth")
    last = draw.figure(fill * draw.pick(0.6, 0.65), "scratch_depth")
    solids, margin = draw.pick(0.4, 0.45, 0.5), draw.pick(2.0, 3.0)
    need = fill + fill * (1 - solids) + last
    answer = draw.figure(margin * need, "film")
    return Question(
        ask=f"The scratches of the 320 are {mean:3} deep on average and {fill:3} where they are deepest. The recoat "
        f"has {draw.percent(solids)} volume solids, so over a filled scratch it sinks by the rest of its depth. The "
        f"600 "
        f"sands that dip off; its own deepest scratches go {last:3}. Lay {margin:g} times what you need. How much "
        "dry film is that?",
        answer=answer,
        slips=[
            (margin * (mean * (2 - solids) + last), "You took the mean scratch. The deepest one has to be hidden."),
            (need, "The margin is forgotten: a coat is not even everywhere."),
            (margin * (fill + last), "The dip is forgotten: the film sinks over the scratch as solvent leaves."),
            (margin * (fill + fill * solids + last), "The dip is what the solvent leaves behind, not the solids."),
        ],
        hints=[
            "Three parts: fill the deepest scratch, sand the dip away, take the scratches of the 600.",
            "The dip: deepest scratch times the share that is not solids.",
            "Add the three, then the margin.",
        ],
        way=f"{fill:3} + {draw.figure(fill * (1 - solids), 'scratch_depth'):3} + {last:3}, times {margin:g}: "
        f"{answer:3}.",
    )


@exercise("hiding-3", "Forty strokes on a door")
def in_all(draw: Draw) -> Question:
    needed = draw.pick(30, 40, 50, 60)
    width = draw.between("block_side", "70 mm", "90 mm", "10 mm")
    lanes = draw.pick(5, 6, 7, 8)
    height = draw.figure(lanes * width, "extent")
    share = draw.pick(0.2, 0.5, 1, 1.1)
    counted = round(needed * share) * lanes
    over = counted / lanes
    on, stop, late = "go on: too few over each spot", "stop: each spot has had enough", "stop: far too many already"
    return decision(
        f"{needed} strokes over each spot sand out the 320. Your block is {width:3} wide, the recoat {height:3} "
        f"high. "
        f"Each stroke runs the whole length, lane beside lane. You have counted {counted} strokes in all. What now?",
        stop if over >= needed else on,
        {
            on: "How many lanes are there? Divide your strokes by them, and compare.",
            stop: "A place is passed only when the block is in its lane. How many strokes has each place had?",
            late: "You compared the strokes in all with those over each spot.",
        },
        ["How many lanes of the block cover the height?", "Divide all your strokes by the lanes.", "Compare."],
        f"{height:3} ÷ {width:3} = {lanes} lanes; {counted} ÷ {lanes} = {over:.0f} over each spot, of {needed}.",
    )


@exercise("hiding-4", "What is left in the clear")
def dip(draw: Draw) -> Question:
    depth = draw.between("scratch_depth", "1.5 µm", "4 µm", "0.5 µm")
    mean = draw.figure(depth / 1.6, "scratch_depth")
    base, clear = draw.pick(0.15, 0.2, 0.25), draw.pick(0.5, 0.55, 0.6)
    answer = draw.figure(float(sanding.show_through.si(depth, base, clear)), "scratch_depth")
    return Question(
        ask=f"The last paper left scratches {mean:3} deep on average, the deepest {depth:3}. One coat of base with "
        f"{draw.percent(base)} and one of clear with {draw.percent(clear)} volume solids go over them, each level "
        "while wet. How deep is the deepest dip in the clear at most, once all solvent has left?",
        answer=answer,
        slips=[
            (depth * base * clear, "You kept the solids. The solids fill; the share that leaves is the dip."),
            (depth * (1 - base), "That is the dip in the base. The clear fills it once more."),
            (mean * (1 - base) * (1 - clear), "That is for the mean scratch. The deepest ones are seen first."),
            (depth * (1 - clear), "The base is forgotten: it fills a little as well."),
        ],
        hints=[
            "Wet paint fills the scratch and lies level. What share of the fill leaves?",
            "After one coat the dip is the depth times the share that is not solids.",
            "The next coat does the same to that dip.",
        ],
        way=f"{depth} × {1 - base:.2f} × {1 - clear:.2f} = {answer:3}.",
    )


BLOCK_ON, ENOUGH, UNSEEN = (
    "block on: most people would see it",
    "leave it: only a strict eye sees it",
    "leave it: nobody sees it",
)


@exercise("hiding-5", "Block on for this wave?")
def waves(draw: Draw) -> Question:
    wave = draw.between("wavelength", "60 mm", "200 mm", "20 mm")
    limit = draw.figure(float(sanding.visible_wave.si(wave).strict), "amplitude")
    times = draw.pick(0.5, 0.7, 3, 5, 7, 14, 20)
    crest = draw.figure(2 * times * limit, "amplitude")
    return decision(
        f"A straightedge and feeler gauges say: from hollow to crest {crest:2}, from crest to crest {wave}. For that "
        f"length a strict eye sees {limit:3} from the middle to the crest, and most people see 10 times that. What "
        "do you do?",
        BLOCK_ON if times > 10 else ENOUGH if times > 1 else UNSEEN,
        {
            BLOCK_ON: "The limits count from the middle to the crest. You measured from hollow to crest.",
            ENOUGH: "Halve what you measured, then divide by the strict limit. Is it between 1 and 10?",
            UNSEEN: "Halve what you measured. Is it under the strict eye's limit?",
        },
        [
            "The height of a wave counts from its middle to its crest: half of hollow to crest.",
            "Divide that by the strict limit, in the same unit.",
            "Under 1, up to 10, or over?",
        ],
        f"{draw.figure(crest / 2, 'amplitude'):2} ÷ {limit:3} = {times:g} times the strict limit.",
    )
