"""Overspray: what the gun delivers, what lands, solids and liquid apart, and the account counted once."""

from coursekit import measurements
from coursekit.lesson.practice.exercise import Draw, Question, decision, exercise
from coursekit.spraying import overspray


@exercise("overspray-1", "How long into the cup?")
def delivery(draw: Draw) -> Question:
    error = draw.pick(1.0, 2.0, 2.5) if draw.system == "metric" else draw.pick(0.05, 0.08, 0.1)
    unit, litre = ("mL", 1e-6) if draw.system == "metric" else ("fl oz", 29.5735e-6)
    flow = draw.between("fluid_delivery", "120 mL/min", "260 mL/min", "20 mL/min")
    times = (5, 10, 20, 40)
    off = {time: error * litre / (flow * time / 60 * 60) for time in times}
    answer = next((time for time in times if off[time] <= 0.05), times[-1])
    return decision(
        f"You read a measuring cup to {error:g} {unit}. The gun delivers about {flow}. The reading is to be good to "
        "5 %, without wasting paint. How long do you spray into the cup?",
        f"{answer} s",
        {
            f"{time} s": f"That is too short: the reading could be off by {off[time]:.0%}."
            if time < answer
            else f"That is good to {off[time]:.1%}, but it wastes paint: a shorter time will do."
            for time in times
        },
        [
            f"How much must be in the cup, so that {error:g} {unit} is 5 % of it?",
            "Twenty times the error of reading.",
            "How many seconds does the gun take for that?",
        ],
        f"20 × {error:g} {unit} = {20 * error:g} {unit}; the gun takes {20 * error * litre / flow:.0f} s for it.",
    )


@exercise("overspray-2", "A weighed card")
def card(draw: Draw) -> Question:
    clean, gun, used = draw.pick(8.0, 9.5, 11.0, 12.5), draw.pick(820, 860, 900, 940, 980), draw.pick(40, 48, 56, 64)
    solids = draw.between("mass_solids", "35 %", "60 %", "5 %")
    dry = round(used * solids * draw.pick(0.48, 0.54, 0.58, 0.64, 0.68), 1)
    found = measurements.transfer(clean, clean + dry, gun, gun - used, solids)["transfer_efficiency"]
    return Question(  # grams for everybody: that is what scales for letters and kitchens show
        ask=f"A card the size of your panel area is covered with foil that weighs {clean:.1f} g clean and "
        f"{clean + dry:.1f} g with the coat dry. Gun and cup weighed {gun} g before and {gun - used} g after the "
        f"coat. The mix has {solids} solids by mass. Which share of the solids landed?",
        answer=found,
        name="transfer_efficiency",
        within=0.03 * found,
        slips=[
            (
                dry / used,
                "You compared dry paint with wet paint: that is nearer to a transfer of liquid. Only the solids of "
                "what was sprayed can lie dry on the foil.",
            ),
            (
                dry / used * solids,
                "You multiplied by the solids. The solids that left the gun weigh less than the paint that left it: "
                "divide by them.",
            ),
            (1 - found, "That is the share that did not land."),
            ((clean + dry) / (used * solids), "The foil itself is still in it: take off what it weighed clean."),
        ],
        hints=[
            "Dry paint on the foil: after less before.",
            "Paint out of the gun: before less after. It was wet: only its solids can dry on the foil.",
            "Divide the dry paint by the solids that left the gun.",
        ],
        way=f"{dry:.1f} g lie dry on the foil; {used} g × {solids} = {used * solids:.3g} g of solids were sprayed; "
        f"{draw.figure(found, 'transfer_efficiency'):3} landed.",
    )


@exercise("overspray-3", "Solids and liquid")
def liquid(draw: Draw) -> Question:
    transfer = draw.between("transfer_efficiency", "50 %", "75 %", "5 %")
    solids = draw.between("volume_solids", "30 %", "50 %", "5 %")
    flight = draw.between("flight_loss", "20 %", "40 %", "5 %")
    lands = draw.figure(overspray.liquid_transfer.si(transfer, solids, flight), "liquid_transfer_efficiency")
    return Question(
        ask=f"{transfer} of the solids land. The paint has {solids} volume solids as sprayed, and {flight} of its "
        "solvent leaves the drops in flight, of those that land and of those that miss alike. Which share of the "
        "sprayed liquid, solids and solvent together, arrives as wet film?",
        answer=lands,
        within=0.015 * lands,
        slips=[
            (
                transfer,
                "That is the transfer of the solids. Of the liquid less arrives: a part of the solvent is gone "
                "before it lands.",
            ),
            (transfer * (1 - flight), "You let the solids evaporate too. Only the solvent loses a part in flight."),
            (transfer * solids, "That is only the solids in the wet film. The solvent that arrives belongs in it."),
            (solids + (1 - solids) * (1 - flight), "That is what is left of a drop on its way. Not each drop lands."),
        ],
        hints=[
            "Take 100 parts of liquid. How many are solids, how many solvent?",
            "How many parts of solvent are left when the drops arrive? The solids are all still there.",
            "Of these parts, the share that lands.",
        ],
        way=f"Of 100 parts {100 * solids:.3g} are solids; of {100 * (1 - solids):.3g} of solvent "
        f"{100 * (1 - solids) * (1 - flight):.3g} arrive; {transfer} of the sum is {lands:3}.",
    )


@exercise("overspray-4", "The loss, counted once")
def account(draw: Draw) -> Question:
    mixed = draw.between("mixed_volume", "200 mL", "600 mL", "20 mL")
    left = draw.between("left_in_cup", "20 mL", "50 mL", "5 mL")
    transfer = draw.between("transfer_efficiency", "50 %", "75 %", "5 %")
    none = {"left_in_hose": 0.0, "left_in_strainer": 0.0, "left_in_wash": 0.0}
    lost = draw.figure(
        float(overspray.budget.si(mixed, 0.4, transfer, left_in_cup=left, **none).paint_lost), "paint_volume"
    )
    return Question(
        ask=f"You mixed {mixed}. {left} stay in cup, strainer and gun. Of what is sprayed, {transfer} lands on the "
        "panel; the rest lands on the masking, flies past the edge or stays in the air as mist. How much paint, as "
        "mixed, "
        "is lost in all?",
        answer=lost,
        within=0.012 * lost,
        slips=[
            (
                mixed * (1 - transfer) + left,
                "What stayed in the cup is counted twice: it was never sprayed, so it cannot miss the panel as well.",
            ),
            (mixed * (1 - transfer), "You took all of it as sprayed. What stays behind is lost altogether."),
            ((mixed - left) * (1 - transfer), "That is what missed. What stayed in the cup is lost too."),
            ((mixed - left) * transfer, "That is what landed."),
        ],
        hints=[
            "First: how much was sprayed? What was mixed less what stayed behind.",
            "Of that, the share that missed.",
            "Lost is what missed and what stayed behind, each counted once.",
        ],
        way=f"{draw.figure(mixed - left, 'mixed_volume'):3} were sprayed, "
        f"{draw.figure((mixed - left) * (1 - transfer), 'paint_volume'):3} of them missed; with {left} left behind "
        f"that is {lost:3}.",
    )
