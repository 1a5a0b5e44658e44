"""Limits in air and the line of vapour: worked cases of published limits, both sides of each, and what never happens.

NIOSH Pocket Guide and IDLH document (1994): 0.001 and 5 mg/m3; OSHA 1 and 0.5; Safe Work Australia 1, 2 and 0.5, 1; MAK
documentation 2016 and 2025: 0.003 and 0.0008; 1,2,4-trichlorobenzene, NIOSH: ceiling 5 ppm, no OSHA limit.
"""

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hazmat import rulebooks
from hazmat.core.air import HIGH_CARE, Against, Hot, LimitNow, Oil, against, air_line, counts_as
from hazmat.core.bulk import CARE
from hazmat.core.law import LawDay
from hazmat.core.sums.frame import Fixed
from hazmat.core.sums.vapour import by_weight, over_oil
from hazmat.edge.air import answered, as_data, of_country
from hazmat.edge.places import COUNTRIES
from hazmat.rulebooks import airbook
from hazmat.rulebooks.strict import RulebookError
from tests.core.summing import SUMS, TODAY, worked

BOOK = airbook.air_book()
HOUSE = LawDay(rulebooks.rulebook(rulebooks.HANDLING), TODAY)
FIXED = Fixed(SUMS["vapour"].figures, TODAY)
PCB = BOOK.standing(TODAY, "pcb")
SHIFT, QUARTER, MOMENT = 480, 15, 0


def held(level: str, country: str, minutes: int | None, group: str = "pcb", on: date = TODAY) -> dict[str, Against]:
    found = against(Decimal(level), BOOK.standing(on, group, country), minutes)
    return {one.now.limit.name: one for one in found}


def stands(level: str, country: str, minutes: int | None, group: str = "pcb") -> dict[str, str]:
    return {name: one.stands for name, one in held(level, country, minutes, group).items()}


def names(country: str, group: str = "pcb", on: date = TODAY) -> set[str]:
    return {now.limit.name for now in BOOK.standing(on, group, country)}


# ------------------------------------------------------------------ worked cases of limits


def test_two_micrograms_pass_what_niosh_recommends_and_call_for_the_highest_apparatus() -> None:
    found = held("0.002", "US", SHIFT)
    assert found["us_rel"].stands == "over"
    assert found["us_pel_54"].stands == "under"
    more = found["us_rel"].now.limit.more
    assert more
    assert "protection factor 10,000" in more.says


def test_a_shift_at_0_6_of_54_per_cent_in_the_united_states() -> None:
    told = stands("0.6", "US", SHIFT)
    assert (told["us_pel_54"], told["us_rel"], told["us_pel_42"]) == ("over", "over", "under")
    assert told["us_idlh"] == "not_judged", "a mean below it says nothing about one moment"
    assert stands("0.6", "US", MOMENT)["us_idlh"] == "under"
    assert stands("5.1", "US", SHIFT)["us_idlh"] == "over"


def test_a_shift_at_0_6_of_54_per_cent_in_australia_without_a_short_sample() -> None:
    told = stands("0.6", "AU", SHIFT)
    assert (told["au_twa_54"], told["au_stel_54"]) == ("over", "not_judged")


def test_a_quarter_of_an_hour_at_2_1_of_42_per_cent_in_australia() -> None:
    told = stands("2.1", "AU", QUARTER)
    assert (told["au_stel_42"], told["au_twa_42"]) == ("over", "not_judged")
    assert stands("2", "AU", QUARTER)["au_stel_42"] == "under"


def test_six_ppm_of_trichlorobenzene_for_a_quarter_of_an_hour_in_the_united_states() -> None:
    found = held(str(by_weight(Decimal(6), Decimal("181.45"))), "US", QUARTER, "tcb")
    assert {name: one.stands for name, one in found.items()} == {"us_tcb": "over"}
    silence = BOOK.silence("tcb", "US")
    assert silence
    assert "OSHA has no limit" in silence.says


def test_a_silence_is_of_its_own_place_and_substance() -> None:
    assert BOOK.silence("tcb", "US")
    assert BOOK.silence("pcb", "US") is None
    assert BOOK.silence("tcb", "NZ") is None


def test_a_limit_told_by_weight_stays_as_it_is(tmp_path: Path) -> None:
    file = tmp_path / "limits.toml"
    file.write_text(airbook.BOOK.read_text("utf-8").replace('unit    = "ppm"', 'unit    = "mg/m3"', 1), "utf-8")
    (now,) = airbook.load_limits(file).standing(TODAY, "tcb", "US")
    assert now.mg_m3 == 5


def test_five_ppm_of_trichlorobenzene_are_37_1_mg() -> None:
    (now,) = BOOK.standing(TODAY, "tcb", "US")
    assert abs(now.mg_m3 - Decimal("37.1")) < Decimal("0.05")
    assert abs(now.mg_m3 - Decimal("37.08")) < Decimal("0.005"), "another library's figure, at 25 °C"


@pytest.mark.parametrize("name", [now.limit.name for now in PCB])
def test_at_a_limit_is_not_over_it_and_a_hair_above_is(name: str) -> None:
    now = next(one for one in PCB if one.limit.name == name)
    (at,), (above,) = (against(level, [now], now.limit.minutes) for level in (now.mg_m3, now.mg_m3 + Decimal("1E-9")))
    assert (at.stands, above.stands) == ("under", "over")
    assert at.times == 1


@given(
    st.decimals("0.0001", "10", places=4),
    st.decimals("0.0001", "10", places=4),
    st.sampled_from([None, 0, 15, 60, 480]),
)
def test_a_higher_level_is_never_called_lower(one: Decimal, other: Decimal, minutes: int | None) -> None:
    order = ("under", "not_judged", "over")
    low, high = (against(level, PCB, minutes) for level in sorted((one, other)))
    assert all(order.index(a.stands) <= order.index(b.stands) for a, b in zip(low, high, strict=True))


# ------------------------------------------------------------------ by country and day


def test_each_country_has_its_own() -> None:
    assert names("US") == {"us_rel", "us_idlh", "us_pel_42", "us_pel_54", "us_acgih_42", "us_acgih_54"}
    assert names("AU") == {"au_twa_42", "au_stel_42", "au_twa_54", "au_stel_54"}
    assert names("NZ") == {"nz_wes_42", "nz_wes_54"}
    assert names("GB") == {"gb_wel"}


def test_a_member_has_what_its_union_has() -> None:
    assert names("FR", "tcb") == names("DE", "tcb") == {"eu_tcb", "eu_tcb_short"}
    assert names("GB", "tcb") == {"gb_tcb", "gb_tcb_short"}
    assert names("NZ", "tcb") == set()


@pytest.mark.parametrize("country", ["CA", "FR", "JP"])
def test_a_country_without_a_limit_says_so_and_borrows_none(country: str) -> None:
    pcb = of_country(country, TODAY)[0]
    assert pcb.limits == ()
    assert pcb.silence
    assert pcb.silence.says.startswith("no figure in this law")


def test_germany_before_and_after_its_days() -> None:
    """The documentation of 2016, whose day is not known, counts from that year on; the addendum from 31 March 2025."""
    assert names("DE", on=date(2015, 12, 31)) == set()
    assert names("DE", on=date(2016, 1, 1)) == {"de_mak"}
    assert names("DE", on=date(2025, 3, 30)) == {"de_mak"}
    assert names("DE", on=date(2025, 3, 31)) == {"de_mak", "de_unborn"}


def test_australia_is_to_be_looked_up_again_from_december_on() -> None:
    before, after = (BOOK.standing(day, "pcb", "AU") for day in (date(2026, 11, 30), date(2026, 12, 1)))
    assert [now.recheck for now in before] == [None] * 4
    assert all(now.recheck and "look it up again" in now.recheck.says.says for now in after)
    assert [now.mg_m3 for now in before] == [now.mg_m3 for now in after]


def test_what_was_not_read_says_so() -> None:
    memory = {now.limit.place for group in ("pcb", "tcb") for now in BOOK.standing(TODAY, group)
              if now.version.cite.basis == "memory"}  # fmt: skip
    assert memory == {"GB", "NZ", "EU"}


def test_places_are_countries_and_members_too() -> None:
    assert {place for place in BOOK.places if place not in BOOK.areas} <= set(COUNTRIES)
    assert {one for members in BOOK.areas.values() for one in members} <= set(COUNTRIES)
    assert BOOK.areas["EU"] == frozenset(rulebooks.rulebook("eu").found_in)


# ------------------------------------------------------------------ a sum against them


def test_the_worked_example_against_every_limit() -> None:
    """500 mg/kg of 54 % at 25 °C: 0.58 µg/m3, 58 % of what NIOSH recommends; at 60 °C 15 times it."""
    cool = answered(SUMS["vapour"], worked("vapour", pcb="500", mixture="1254", celsius="25"), TODAY)["limits"]
    warm = answered(SUMS["vapour"], worked("vapour", pcb="500", mixture="1254", celsius="60"), TODAY)["limits"]
    assert len(cool) == len(PCB)
    rel = {one["limit"]: one for one in cool}["us_rel"]
    assert (rel["stands"], rel["basis"]) == ("under", "read")
    assert abs(Decimal(rel["times"]) - Decimal("0.58")) < Decimal("0.005")
    rel = {one["limit"]: one for one in warm}["us_rel"]
    assert rel["stands"] == "over"
    assert abs(Decimal(rel["times"]) - Decimal("15.4")) < Decimal("0.05")


@pytest.mark.parametrize(
    ("mixture", "over"),
    [("1242", {"us_idlh", "us_pel_42", "us_rel"}), ("1254", {"us_pel_54", "us_rel", "us_pel_42"})],
)
def test_a_mixture_itself(mixture: str, over: set[str]) -> None:
    """13.9 mg/m3 of 42 % lie above immediate danger (5); 1.36 of 54 % above its limit (0.5) and below danger."""
    found = answered(SUMS["vapour"], worked("vapour", neat=True, mixture=mixture, celsius="25"), TODAY)["limits"]
    assert over <= {one["limit"] for one in found if one["stands"] == "over"}
    assert ("us_idlh" in over) is any(one["limit"] == "us_idlh" and one["stands"] == "over" for one in found)


def test_trichlorobenzene_lies_far_above_its_ceiling() -> None:
    found = answered(SUMS["vapour_tcb"], worked("vapour_tcb", share="40", mixture="1260"), TODAY)["limits"]
    ceiling = {one["limit"]: one for one in found}["us_tcb"]
    assert ceiling["stands"] == "over"
    assert 40 < Decimal(ceiling["times"]) < 160


def test_a_room_is_held_against_what_is_in_it() -> None:
    asked: dict[str, Any] = {"mg_min": "1", "room": "100", "flow": "10", "mixing": "1"}
    for substance, group in (("pcb", "pcb"), ("tcb", "tcb")):
        found = answered(SUMS["room_air"], worked("room_air", **asked, substance=substance), TODAY)["limits"]
        assert [one["limit"] for one in found] == [now.limit.name for now in BOOK.standing(TODAY, group)]
    for substance in ("other", None):
        assert answered(SUMS["room_air"], worked("room_air", **asked, substance=substance), TODAY)["limits"] == []
    assert "limits" not in answered(SUMS["density"], worked("density", density_15="0.88", to="40"), TODAY)


def test_plain_data_is_text() -> None:
    for one in as_data(against(Decimal("0.002"), PCB)):
        assert all(isinstance(value, str) for value in one.values())


# ------------------------------------------------------------------ the line beside the gear


def line(care: str, shown: str | None = None, hot: Hot = "unknown", limits: list[LimitNow] = PCB) -> str:
    found = air_line(Oil(care, Decimal(shown) if shown else None, hot), limits, FIXED, HOUSE)
    return f"{found.key}: {found.finished({})}" if found else ""


def test_what_is_presumed_counts_as_the_most_that_its_care_allows() -> None:
    assert counts_as(Oil("lt2"), HOUSE) == 2
    assert counts_as(Oil("2_49"), HOUSE) == 50
    assert counts_as(Oil("50_499"), HOUSE) == 500
    assert counts_as(Oil("ge500"), HOUSE) == 1000000
    assert counts_as(Oil("50_499", Decimal(60)), HOUSE) == 60
    assert counts_as(Oil("ge500", Decimal(1200)), HOUSE) == 1200


@pytest.mark.parametrize(("care", "shown", "counts"), [
    ("50_499", "49.9", 500), ("50_499", "50", 50), ("50_499", "500", 500), ("50_499", "1200", 1200),
    ("ge500", "499.9", 1000000), ("ge500", "500", 500), ("ge500", "1200000", 1000000),
])  # fmt: skip
def test_a_figure_below_the_band_of_the_care_explains_nothing(care: str, shown: str, counts: int) -> None:
    assert counts_as(Oil(care, Decimal(shown)), HOUSE) == counts


def test_askarel_presumed_passes_immediate_danger_cool_or_hot() -> None:
    """13.9 mg/m3 at 25 °C over the mixture itself, against 5."""
    assert line("ge500", hot="no").startswith("air_danger: Vapour in a closed tank at 25 °C")
    assert "up to 14 mg/m3 against 5 (NIOSH level immediately dangerous to life or health)" in line("ge500", hot="no")
    assert line("ge500").startswith("air_danger: Vapour in a closed tank at 60 °C")


def test_contaminated_oil_passes_what_niosh_recommends_in_a_hot_tank() -> None:
    """7.53 µg/m3 at 25 °C over 500 mg/kg of 42 %; at 60 °C with 85 kJ/mol 36.7 times the pressure, thinner by 0.895."""
    assert line("50_499").startswith("air_over: Vapour in a closed tank at 60 °C")
    assert "up to 0.25 mg/m3 against 0.001 (NIOSH recommended exposure limit)" in line("50_499")


def test_a_cool_tank_of_66_mg_kg_just_reaches_it() -> None:
    """Worked by hand: the air over 66 mg/kg of 42 % at 25 °C holds one microgram."""
    assert line("50_499", "66", hot="no") == ""
    assert line("50_499", "67", hot="no").startswith("air_over")
    assert line("50_499", "50", hot="yes").startswith("air_over")


@pytest.mark.parametrize("care", ["lt2", "2_49"])
def test_below_the_high_bands_it_is_silent(care: str) -> None:
    assert all(line(care, shown, hot) == "" for shown in (None, "1", "40") for hot in ("yes", "no", "unknown"))


def test_without_any_limit_nothing_is_said() -> None:
    assert line("ge500", limits=[]) == ""


def test_a_tank_of_which_nobody_knows_is_hot() -> None:
    for care in HIGH_CARE:
        assert line(care) == line(care, hot="yes")


WEIGHT = {"": 0, "air_over": 1, "air_danger": 2}
SHOWN = st.one_of(st.none(), st.decimals("50", "1000000", places=1))


def weight(oil: Oil, limits: list[LimitNow] = PCB) -> int:
    found = air_line(oil, limits, FIXED, HOUSE)
    return WEIGHT[found.key if found else ""]


@given(st.sampled_from(HIGH_CARE), st.decimals("500", "1000000", places=1), st.decimals("500", "1000000", places=1))
def test_more_pcb_never_takes_the_line_away(care: str, one: Decimal, other: Decimal) -> None:
    low, high = sorted((one, other))
    for hot in ("yes", "no", "unknown"):
        assert weight(Oil(care, low, hot)) <= weight(Oil(care, high, hot))


@given(st.sampled_from(CARE), SHOWN)
def test_heat_and_not_knowing_never_take_it_away(care: str, shown: Decimal | None) -> None:
    cool, hot, unknown = (weight(Oil(care, shown, word)) for word in ("no", "yes", "unknown"))
    assert cool <= hot == unknown


@given(SHOWN)
def test_more_care_never_takes_it_away(shown: Decimal | None) -> None:
    for hot in ("yes", "no", "unknown"):
        told = [weight(Oil(care, shown, hot)) for care in CARE]
        assert told == sorted(told)


@given(st.sampled_from(HIGH_CARE), st.decimals("0", "1000000", places=1))
def test_what_is_reckoned_with_is_never_below_the_care(care: str, shown: Decimal) -> None:
    least = {"50_499": 50, "ge500": 500}[care]
    assert counts_as(Oil(care, shown), HOUSE) >= least


@given(st.sampled_from(HIGH_CARE), SHOWN, st.lists(st.sampled_from(PCB), unique_by=lambda now: now.limit.name))
def test_another_limit_never_takes_it_away(care: str, shown: Decimal | None, some: list[LimitNow]) -> None:
    assert weight(Oil(care, shown), some) <= weight(Oil(care, shown))


def test_it_is_reckoned_on_the_careful_side_of_its_own_sum() -> None:
    """The sentence takes the most heat of vaporisation that is looked at: never less than the sum tells."""
    sums = over_oil(Decimal(500), "1242", Decimal(60), FIXED).mg_m3
    assert sums < over_oil(Decimal(500), "1242", Decimal(60), FIXED, "heat_most").mg_m3
    assert Decimal("0.195") < sums < Decimal("0.205")


def test_it_clears_nobody() -> None:
    for key in ("air_over", "air_danger"):
        says = rulebooks.rulebook(rulebooks.HANDLING).sentences[key].says.casefold()
        assert [word for word in ("safe", "clean", "may enter", "no risk") if word in says] == []


# ------------------------------------------------------------------ the file, read strictly

DANGER = 'kind    = "danger"\nminutes = 0'
GB_VALUE = 'is = "0.1", cite = "EH40"'
GB_LAW = 'law     = {}\nunit    = "mg/m3"\nnotes   = ["skin"]\nvalues  = [{{ since = "unknown", is = "0.1"'
AGAIN = 'more    = "au_cancer"\nrecheck = { on = 2026-12-01, says = "au_new_list" }'
BROKEN = (
    ('kind    = "danger"', 'kind    = "deadly"', "limit.us_idlh.kind"),
    ('unit    = "ppm"', 'unit    = "ppb"', "limit.us_tcb.unit"),
    ('molar = "molar_tcb"', "", "limit.us_tcb.unit"),
    ('molar = "molar_tcb"', 'molar = "molar_pcb"', "substance.tcb.molar"),
    (DANGER, DANGER.replace("0", "-1"), "limit.us_idlh.minutes"),
    ('place   = "GB"', 'place   = "UK"', "limit.gb_wel.place"),
    (GB_VALUE, 'is = "0.1"', "limit.gb_wel.values[1].cite"),
    (GB_VALUE, 'is = "0", cite = "EH40"', "limit.gb_wel.values"),
    (AGAIN, AGAIN.replace("au_new_list", "nothing"), "limit.au_twa_42.recheck.says"),
    ('of    = "tcb"', 'of    = "lead"', "silence[1].of"),
    (GB_LAW.format("true"), GB_LAW.format('"yes"'), "limit.gb_wel.law"),
)


@pytest.mark.parametrize(("old", "new", "key"), BROKEN, ids=[key for _, _, key in BROKEN])
def test_one_mistake_is_refused_with_file_key_and_mend(tmp_path: Path, old: str, new: str, key: str) -> None:
    text = airbook.BOOK.read_text("utf-8")
    assert text.count(old) >= 1
    file = tmp_path / "limits.toml"
    file.write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(RulebookError) as caught:
        airbook.load_limits(file)
    assert (caught.value.file, caught.value.key) == ("limits.toml", key)
    assert caught.value.mend


def test_a_second_silence_of_one_place_is_refused(tmp_path: Path) -> None:
    text = airbook.BOOK.read_text("utf-8")
    file = tmp_path / "limits.toml"
    file.write_text(text + text[text.index("[[silence]]") :], "utf-8")
    with pytest.raises(RulebookError, match="another silence"):
        airbook.load_limits(file)


def test_an_end_of_a_limit_is_its_last_day(tmp_path: Path) -> None:
    text = airbook.BOOK.read_text("utf-8")
    file = tmp_path / "limits.toml"
    ended = text.replace('since = 2016-01-01, is = "0.003"', 'since = 2016-01-01, until = 2030-06-30, is = "0.003"')
    file.write_text(ended, "utf-8")
    book = airbook.load_limits(file)
    last = date(2030, 6, 30)
    assert "de_mak" in {now.limit.name for now in book.standing(last, "pcb", "DE")}
    assert "de_mak" not in {now.limit.name for now in book.standing(last + timedelta(days=1), "pcb", "DE")}
