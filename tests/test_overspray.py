"""The account of sprayed paint closes, is monotone where it must be, and says no."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from coursekit.belief import band
from coursekit.quantities import InputError
from coursekit.spraying import overspray
from coursekit.uncertain import Band
from tests.calls import refused

share = st.floats(0, 1)
volume = st.floats(0, 1e-3)
BATCH = {
    "mixed_volume": st.floats(1e-5, 2e-2),
    "volume_solids": st.floats(0.01, 1),
    "transfer_efficiency": st.floats(0.01, 1),
    "mist_share": share,
    "masked_share": share,
    "airborne_share": share,
    "flight_loss": st.floats(0, 0.95),
    "left_in_cup": volume,
    "left_in_hose": volume,
    "left_in_strainer": volume,
    "left_in_wash": volume,
    "price_per_litre": st.floats(0, 1000),
}


def adds_up(parts, whole):
    np.testing.assert_allclose(np.sum(np.broadcast_arrays(*parts), axis=0), whole, rtol=1e-12, atol=1e-18)


@given(st.fixed_dictionaries(BATCH))
def test_solids_and_solvent_each_close(batch):
    try:
        account = overspray.budget.si(**batch)
    except InputError:
        left = sum(v for k, v in batch.items() if k.startswith("left"))
        assert left > batch["mixed_volume"]
        return
    for ledger in (account.paint, account.solids, account.solvent):
        adds_up(ledger[1:], ledger.mixed)
        assert min(ledger) >= -1e-18
    adds_up(account.shares, 1)
    adds_up((account.solids.mixed, account.solvent.mixed), account.paint.mixed)
    sprayed = account.solids.landed + account.solids.on_masks + account.solids.past_edge
    adds_up(
        (sprayed, account.solids.settling, account.solids.airborne), account.paint.sprayed * batch["volume_solids"]
    )
    assert account.liquid_transfer_efficiency <= account.transfer_efficiency * (1 + 1e-12)
    assert account.paint_lost <= account.paint.mixed
    assert account.money_lost == pytest.approx(account.paint_lost * 1000 * batch["price_per_litre"])


def test_broadcasts_and_samples_close_too():
    efficiency = np.linspace(0.2, 0.9, 8)
    account = overspray.budget.si(2e-4, 0.45, transfer_efficiency=efficiency)
    assert account.solids.landed.shape == (8,)
    assert np.all(np.diff(account.paint_lost) < 0)
    adds_up(account.solids[1:], account.solids.mixed)
    for row, value in enumerate(efficiency):
        assert overspray.budget.si(2e-4, 0.45, transfer_efficiency=value).mist == pytest.approx(account.mist[row])
    low, middle, high = band(overspray.budget, "30 mL", "45 %").shares.left
    assert 0 < low < middle < high <= 1


def test_public_call_takes_text_and_gives_quantities():
    account = overspray.budget("250 mL", "45 %", price_per_litre=40)
    assert account.paint.mixed.m_as("milliliter") == pytest.approx(250)
    assert str(account.paint.mixed.units) == "milliliter"
    assert account.money_lost.magnitude == pytest.approx(account.paint_lost.m_as("liter") * 40)
    assert overspray.budget("250 mL", "45 %").money_lost is None
    assert isinstance(band(overspray.budget, "250 mL", "45 %").paint_lost, Band)


def test_where_the_missed_solids_go_by_hand():
    """100 mL of 45 % at 65 % miss 15.75 mL: 40 % of it mist, half of that airborne; half of the rest on masks."""
    kept = dict.fromkeys(("left_in_cup", "left_in_strainer", "left_in_wash"), "0 mL")
    found = overspray.budget("100 mL", "45 %", "65 %", "40 %", **kept)
    # 3.15 mL of dry film of 1.5 kg/L, and 55 mL of solvent of 7.36 lb/gal, 0.8819 kg/L
    assert found.mist.m_as("g") == pytest.approx(4.725, abs=1e-3)
    assert found.solvent_to_air.m_as("g") == pytest.approx(48.51, abs=0.01)
    solids = found.solids
    assert solids.airborne.m_as("mL") == pytest.approx(3.15) and solids.settling.m_as("mL") == pytest.approx(3.15)
    assert solids.on_masks.m_as("mL") == pytest.approx(4.725) and solids.past_edge.m_as("mL") == pytest.approx(4.725)


def test_measuring_takes_a_lever_away():
    guessed = overspray.what_changes_it("250 mL", "45 %")
    assert guessed[0].argument == "transfer_efficiency"
    assert guessed[0].lost_at_low > guessed[0].lost_at_high
    measured = overspray.what_changes_it("250 mL", "45 %", transfer_efficiency="66 %")
    assert {lever.argument for lever in guessed} - {lever.argument for lever in measured} == {"transfer_efficiency"}


def test_it_says_no():
    with refused("order", "mixed_volume"):
        overspray.budget("50 mL", "45 %", left_in_cup="60 mL")
    with refused("range", "transfer_efficiency"):
        overspray.budget("50 mL", "45 %", "162 %")
    with refused("other quantity", "price_per_litre"):
        overspray.budget("50 mL", "45 %", price_per_litre="40 mL")
