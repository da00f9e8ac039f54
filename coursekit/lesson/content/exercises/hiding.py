"""Hiding the scratch: P or CAMI, deepest or mean, the thinnest recoat, what shows, strokes in all, waves."""

from coursekit import sanding
from coursekit.lesson.practice.exercise import Draw, Question, exercise


@exercise("hiding-1", "How deep the deepest go")
def deepest(draw: Draw) -> Question:
    number = draw.pick(320, 360, 400, 500, 600)
    share = draw.pick(0.05, 0.055, 0.06, 0.065, 0.07)
    paper, other = (sanding.read_grade(f"{scale}{number}") for scale in ("P", "CAMI "))
    mean = share * paper.grain_size
    answer = draw.figure(mean * paper.outlier_ratio, "scratch_depth")
    grains = [f"{draw.figure(one.grain_size, 'grain_size'):3}" for one in (paper, other)]
    return Question(
        ask=f"On the back of your paper stands P{number}. Two lists give grains for the number {number}: {grains[0]} "
        f"for P, {grains[1]} for CAMI. Under your hand the mean scratch is {draw.percent(share)} of the grain deep, "
        f"and the largest grains cut {paper.outlier_ratio:.3g} times as deep. How deep are the scratches that the "
        "recoat must hide?",
        answer=answer,
        slips=[
            (share * other.grain_size * paper.outlier_ratio, "You read the P as CAMI: its grains are smaller."),
            (mean, "That is the mean scratch. The deepest ones are what shows."),
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
        f"has {draw.percent(solids)} volume solids, so over a filled scratch it sinks by the rest of its depth; that "
        f"dip is sanded off by the 600, whose own deepest scratches go {last:3}. Lay {margin:g} times what is "
        "needed. How much dry film?",
        answer=answer,
        slips=[
            (margin * (mean * (2 - solids) + last), "You took the mean scratch. The deepest one has to be hidden."),
            (need, "The margin is forgotten: a coat is not even everywhere."),
            (margin * (fill + last), "The dip is forgotten: the film sinks over the scratch as solvent leaves."),
            (margin * (fill + fill * solids + last), "The dip is what the solvent leaves behind, not the solids."),
        ],
        hints=[
            "Three parts: fill the deepest scratch, sand the dip away, bear the scratches of the 600.",
            "The dip: deepest scratch times the share that is not solids.",
            "Add the three, then the margin.",
        ],
        way=f"{fill:3} + {draw.figure(fill * (1 - solids), 'scratch_depth'):3} + {last:3}, times {margin:g}: "
        f"{answer:3}.",
    )


@exercise("hiding-3", "Strokes in all")
def in_all(draw: Draw) -> Question:
    over = float(draw.pick(20, 30, 40, 50, 60))
    width = draw.between("block_side", "70 mm", "90 mm", "10 mm")
    lanes = draw.pick(5, 6, 7, 8)
    height = draw.figure(lanes * width, "extent")
    answer = over * lanes
    return Question(
        ask=f"{over:.0f} strokes over each place sand out the 320. Your block is {width:3} wide; the recoat is "
        f"{height:3} high, and each of your strokes runs the whole length of it, lane beside lane. How many strokes "
        "are that in all?",
        answer=answer,
        name="strokes",
        slips=[
            (over, "That is over each place. A place is passed only when the block is in its lane."),
            (over / lanes, "You divided: that is what each place gets if you stop after so many in all."),
            (2 * answer, "There and back is two strokes, and both are counted already."),
        ],
        hints=[
            "How many lanes of the block cover the height?",
            "Each lane needs all the strokes that a place needs.",
            "Lanes times strokes over each place.",
        ],
        way=f"{height:3} ÷ {width:3} = {lanes} lanes; {lanes} × {over:.0f} = {answer:.0f}.",
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


@exercise("hiding-5", "How many times the strict eye's limit")
def waves(draw: Draw) -> Question:
    wave = draw.between("wavelength", "60 mm", "200 mm", "20 mm")
    crest = draw.between("amplitude", "20 µm", "60 µm", "5 µm")
    limit = draw.figure(float(sanding.visible_wave.si(wave).strict), "amplitude")
    answer = crest / 2 / limit
    return Question(
        ask=f"A straightedge and feeler gauges say: from hollow to crest {crest}, from crest to crest {wave}. The "
        f"bench gives a strict eye's limit for that length: {limit:3}, from the middle to the crest. How many times "
        "the strict limit is it?",
        answer=answer,
        name="kindness",
        within=0.03 * answer,
        slips=[
            (2 * answer, "You took hollow to crest. The limit counts from the middle: half of it."),
            (1 / answer, "The other way round: how many limits go into your wave?"),
            (answer / 2, "You halved twice: from hollow to crest is two heights, not four."),
        ],
        hints=[
            "The height of a wave counts from its middle to its crest.",
            "From hollow to crest is twice that.",
            "Then divide by the limit; both in the same unit.",
        ],
        way=f"{draw.figure(crest / 2, 'amplitude'):3} ÷ {limit:3} = {answer:.3g}; most people see 10 under a tube "
        "lamp.",
    )
