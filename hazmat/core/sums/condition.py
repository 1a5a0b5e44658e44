"""Condition of oil: which limits it meets, what helps it, what becomes of it; and how far it swells."""

from collections.abc import Iterator

from hazmat.core.measures import figure_words
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

COLOUR = "colour_alone"
"""Where a colour leads that is too dark: to no class. Source: IEEE C57.106, clause 7.2, which does not name it."""
HELD = (
    ("water_meets", "water", "class_ii"), ("acidity_meets", "acidity", "class_iii"),
    ("acidity_guide", "acidity", "class_iii"), ("ift_meets", "ift", "class_iii"),
    ("dissipation_meets", "dissipation", "class_iii"), ("colour_meets", "colour", COLOUR),
)  # fmt: skip
"""Line, box, and the class that a failure leads to. Source: IEEE C57.106, clause 7.2."""
METALS = ("arsenic", "cadmium", "chromium", "lead")
BURN = (*METALS, "flash_f")
REUSE = ("water_breakdown_ok", "acidity_ift_ok", "corrosive_sulphur")


def oil_condition(given: Given, fixed: Fixed) -> Worked:
    """Limits met, class after the IEEE guide, flash category. Water, halogens in mg/kg; acidity in mg KOH/g.

    Interfacial tension in mN/m, flash in °C. A limit that is only remembered never makes an oil fit, and says so.
    """
    if given["dissipation"] is not None and given["dissipation_at"] is None:
        raise CannotWork("dissipation_at", "dissipation_where")
    limits, failed, judged, remembered = _against_limits(given, fixed)
    values: dict[str, Value] = {**limits}
    values["class"] = _class(failed, judged) if given["fluid"] == "mineral" else "no_class"
    flash, low = _flash(given, fixed)
    presumed = given["halogens"] is not None and given["halogens"] >= fixed.number("halogens_presumed")
    if given["flash"] is not None:
        values["ghs"] = flash
    if given["halogens"] is not None:
        values["halogens_presumed"] = presumed
    if given["flash"] is not None or given["halogens"] is not None:
        values["keep_apart"] = low or presumed
    notes = (
        *remembered, *_said(given, values, failed), *_flash_said(given, flash, low), *_halogens_said(presumed, fixed),
    )  # fmt: skip
    return Worked(values, notes)


def _against_limits(given: Given, fixed: Fixed) -> tuple[dict[str, str], set[str], bool, list[Note]]:
    """Each figure against its limit.

    Gives the words, the classes that failures lead to, whether anything that leads to a class was held against a limit,
    and which limits were only remembered.
    """
    words: dict[str, str] = {}
    remembered: dict[str, None] = {}
    failed, judged = {"class_ii"} if given["breakdown_fails"] else set[str](), given["breakdown_fails"] is not None
    for line, box, leads_to in HELD:
        if given[box] is None:
            continue
        words[line], from_memory = _held(line, box, given, fixed)
        judged = judged or (leads_to != COLOUR and words[line] != "no_limit")
        if words[line] == "not_met":
            failed.add(leads_to)
        if from_memory:
            at_90 = box == "dissipation" and given["dissipation_at"] == "c90"
            remembered["from_memory_iec" if at_90 else "from_memory_ieee"] = None
    return words, failed, judged, [Note(key) for key in remembered]


def _held(line: str, box: str, given: Given, fixed: Fixed) -> tuple[str, bool]:
    """Whether one figure meets its limit for this liquid, and whether that limit is only remembered."""
    value, name = given[box], f"{line}_{given['fluid']}"
    if box == "dissipation":
        name = f"{name}_{given['dissipation_at']}"
    ends = [f"{name}_{end}" for end in ("least", "most") if f"{name}_{end}" in fixed.versions]
    if not ends:
        return "no_limit", False
    least, most = fixed.first(f"{name}_least"), fixed.first(f"{name}_most")
    met = (least is None or value >= least) and (most is None or value <= most)
    return ("met" if met else "not_met"), any(fixed.versions[one].cite.basis == "memory" for one in ends)


def _class(failed: set[str], judged: bool) -> str:
    """The graver class that failed; else that none did, or that nothing was held against a limit."""
    for word in ("class_iii", "class_ii", COLOUR):
        if word in failed:
            return word
    return "none_failed" if judged else "unknown"


def _said(given: Given, values: dict[str, Value], failed: set[str]) -> Iterator[Note]:
    if failed and given["fluid"] != "mineral":
        yield Note("manual_not_met")
    elif failed:
        yield from (Note("both_fail"),) if {"class_ii", "class_iii"} <= failed else ()
        yield Note("not_scrap")
    if (values.get("acidity_meets"), values.get("acidity_guide")) == ("met", "not_met"):
        yield Note("acidity_between")
    if values["class"] == "none_failed":
        yield Note("none_failed")
    if given["fluid"] in ("other", "unknown"):
        yield Note("no_limits_for_fluid")


def _flash(given: Given, fixed: Fixed) -> tuple[str, bool]:
    """The GHS category of a flash point in °C, and whether it is so low that solvent must be in the oil.

    An open cup reads higher than a closed one, so it never shows that no category applies.
    """
    flash = given["flash"]
    if flash is None:
        return "", False
    low = flash < fixed.number("flash_solvent")
    if flash < fixed.number("ghs_3_least"):
        return "cat_1_or_2", low
    if flash <= fixed.number("ghs_3_most"):
        return "cat_3", low
    if flash <= fixed.number("ghs_4_most"):
        return "cat_4", low
    return ("none" if given["cup"] == "closed" else "not_settled"), low


def _flash_said(given: Given, category: str, low: bool) -> Iterator[Note]:
    if category and given["cup"] != "closed":
        yield Note("open_cup" if given["cup"] == "open" else "cup_unknown")
    if low:
        yield Note("mixed_with_solvent")


def _halogens_said(presumed: bool, fixed: Fixed) -> Iterator[Note]:
    if presumed:
        yield Note("halogens_presumed", {"from": figure_words(fixed.number("halogens_presumed"))})
        yield Note("halogens_of_pcb")


def oil_fate(given: Given, fixed: Fixed) -> Worked:
    """What becomes of used oil by the United States' rule. PCB, halogens, metals in mg/kg, flash in °F.

    In the order of the decision: PCB by a laboratory, halogens, then what its wanted use asks for.
    """
    pcb, floor = given["pcb"], fixed.number("pcb_quantifiable")
    if pcb is None:
        return Worked({"fate": "pcb_first"}, _put_in(given))
    if pcb >= fixed.number("pcb_regulated") or given["part_from_50"]:
        return Worked({"fate": "tsca_regulated"}, (*_put_in(given), *_where_it_burns(given, fixed)))
    halogens = given["halogens"]
    if halogens is not None and halogens >= fixed.number("halogens_presumed") and not given["presumption_rebutted"]:
        return Worked({"fate": "presumed_hazardous"}, (*_halogens_said(True, fixed), *_put_in(given)))
    fate = _burnt(given, fixed, pcb >= floor) if given["wanted"] == "burn" else _reused(given, pcb >= floor)
    return Worked(fate.values, (*fate.notes, *_put_in(given)))


def _put_in(given: Given) -> tuple[Note, ...]:
    """What a stronger oil that was put in, or may have been, does to the whole."""
    return {True: (Note("part_counts"),), False: (), None: (Note("part_unknown"),)}[given["part_from_50"]]


def _where_it_burns(given: Given, fixed: Fixed) -> tuple[Note, ...]:
    """Incinerator alone, or a boiler too; nothing where a stronger part counts, whose figure is not known here."""
    if given["pcb"] >= fixed.number("pcb_incinerator"):
        return (Note("incinerator"),)
    return () if given["part_from_50"] else (Note("boiler"),)


def _missing(given: Given, boxes: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(box for box in ("halogens", *boxes) if given[box] is None)


def _burnt(given: Given, fixed: Fixed, traces: bool) -> Worked:
    """Held against the specification of used oil that is burned: over it, not all tested, or within."""
    over = tuple(
        box for box in ("halogens", *METALS) if given[box] is not None and given[box] > fixed.number(f"fuel_{box}")
    )
    if given["flash_f"] is not None and given["flash_f"] < fixed.number("fuel_flash_f"):
        over = (*over, "flash_f")
    missing, notes = _missing(given, BURN), ((Note("pcb_traces"),) if traces else ())
    if over:
        return Worked({"fate": "off_spec", "over": over, **({"missing": missing} if missing else {})}, notes)
    if missing:
        return Worked({"fate": "tests_missing", "missing": missing}, notes)
    return Worked({"fate": "on_spec_limited" if traces else "on_spec"}, notes)


def _reused(given: Given, traces: bool) -> Worked:
    """Whether it may serve again as insulating oil, and what it needs first."""
    if traces:
        return Worked({"fate": "ask_authority"}, (Note("reuse_floor"),))
    if given["halogens"] is not None:
        if given["corrosive_sulphur"]:
            return Worked({"fate": "no_reuse"}, (Note("corrosive_sulphur"),))
        if given["acidity_ift_ok"] is False:
            return Worked({"fate": "reclaim"}, (Note("both_fail"),) if given["water_breakdown_ok"] is False else ())
        if given["water_breakdown_ok"] is False:
            return Worked({"fate": "recondition"})
    missing = _missing(given, REUSE)
    if missing:
        return Worked({"fate": "tests_missing", "missing": missing})
    return Worked({"fate": "reuse"}, (Note("still_to_specification"),))


def oil_expansion(given: Given, fixed: Fixed) -> Worked:
    """By how many litres oil swells or shrinks between two temperatures in °C, between a least and a most."""
    low, high = fixed.number("expansion_from"), fixed.number("expansion_to")
    for box in ("from_c", "to_c"):
        if not low <= given[box] <= high:
            raise CannotWork(box, "expansion_outside", least=figure_words(low), most=figure_words(high))
    warmed = given["litres"] * (given["to_c"] - given["from_c"])
    return Worked({f"change_{end}": warmed * fixed.number(f"expansion_{end}") for end in ("least", "most")})


WORK: dict[str, Work] = {"oil_condition": oil_condition, "oil_fate": oil_fate, "oil_expansion": oil_expansion}
