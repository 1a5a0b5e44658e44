"""Results and how sure they are: units, a result against a line, results of one sample against each other."""

from decimal import Decimal
from math import erfc, exp, pi, sqrt
from statistics import NormalDist
from typing import NamedTuple

from hazmat.core.measures import (
    COVERAGE,
    HALF_WIDTH_TO_SPREAD,
    MG_KG_IN_PER_CENT,
    PER_CENT,
    figure_words,
    rounded_words,
)
from hazmat.core.sums.frame import CannotWork, Fixed, Given, Note, Value, Work, Worked

ROOT_2 = sqrt(2)
"""Source: mathematics, for the normal integral by the complementary error function."""
TOLD_TO = ".12f"
"""How finely a chance is kept. Source: our own choice."""
WHOLE = PER_CENT * MG_KG_IN_PER_CENT
"""All of a liquid in mg/kg. Source: definition of the per cent."""
PAIR = 2
"""Results that are compared by their difference; more of them by chi-square. Source: IEC 61619 clause 14."""


class Spread(NamedTuple):
    """A standard uncertainty that grows with the figure, in mg/kg: so much always, and a share of the figure."""

    always: Decimal
    share: Decimal

    def at(self, value: Decimal) -> Decimal:
        return self.always + self.share * value

    def ceiling(self, limit: Decimal, z: Decimal) -> Decimal:
        """The figure that lies z of its own uncertainties below a limit."""
        return (limit - z * self.always) / (1 + z * self.share)


def told(chance: float) -> Decimal:
    """A chance as a decimal."""
    return Decimal(format(chance, TOLD_TO))


def below(z: float) -> float:
    """The share of a normal distribution that lies below z standard deviations."""
    return erfc(-z / ROOT_2) / 2


def normal_point(risk: Decimal) -> Decimal:
    """How many standard deviations up no more than this share lies, a risk above 0 and up to one half."""
    return Decimal(str(NormalDist().inv_cdf(float(1 - risk))))


def of_two_laboratories(fixed: Fixed) -> Spread:
    """The spread that two laboratories are allowed, as a standard uncertainty of one."""
    parts = fixed.number("allowed_always"), fixed.number("allowed_two")
    return Spread(*(part / HALF_WIDTH_TO_SPREAD for part in parts))


def _no_nought(value: Decimal, box: str) -> None:
    if not value:
        raise CannotWork(box, "nought")


def ppm(given: Given, fixed: Fixed) -> Worked:
    """A figure in any unit told in mg/kg.

    By volume it is divided by `density` in kg/L, or by a cautious one; a ppm that nobody named is read as whichever
    comes out higher.
    """
    value, unit, density = given["value"], given["unit"], given["density"]
    _no_nought(value, "value")
    notes: list[Note] = []
    if unit in ("mg_kg", "ppm_weight", "percent"):
        mg_kg, standing = value * (MG_KG_IN_PER_CENT if unit == "percent" else 1), "by_weight"
        values: dict[str, Value] = {}
    else:
        used = density if density is not None else fixed.number("cautious_density")
        standing = "cautious" if density is None or unit == "ppm" else "by_density"
        mg_kg, values = value / used, {"density": used}
        if unit == "ppm":
            mg_kg = max(mg_kg, value)
            notes.append(Note("ppm_unsaid"))
        if density is None:
            notes.append(Note("density_unsaid", {"density": figure_words(used)}))
    if mg_kg > WHOLE:
        raise CannotWork("value", "more_than_all", mg_kg=figure_words(mg_kg.quantize(Decimal(1))))
    return Worked({"mg_kg": mg_kg, "standing": standing, **values}, (*notes, Note(f"standing_{standing}")))


def spread_given(given: Given, fixed: Fixed) -> tuple[Spread, list[Note]]:
    """The standard uncertainty that a report's expanded one comes to; none reported: that of two laboratories."""
    wide, k = given["uncertainty"], given["k"]
    if wide is None:
        return of_two_laboratories(fixed), [Note("uncertainty_unsaid")]
    if given["kind"] is None:
        raise CannotWork("kind", "kind_missing")
    if not wide:
        raise CannotWork("uncertainty", "uncertainty_nought")
    notes = [Note("k_unsaid")] if k is None else []
    one = wide / (COVERAGE if k is None else k)
    nothing = Decimal(0)
    return (Spread(nothing, one / PER_CENT) if given["kind"] == "percent" else Spread(one, nothing)), notes


def decide(given: Given, fixed: Fixed) -> Worked:
    """A result in mg/kg against a limit. The stricter of `result` and `raw` counts.

    `comparator`: whether the law's line is met at the limit or above it alone; `risk`: how likely a result that is
    called below may be wrong; `convention`: whether the uncertainty is taken at the result or at the limit.
    """
    limit, raw = given["limit"], given["raw"]
    counted = given["result"] if raw is None else max(given["result"], raw)
    _no_nought(counted, "result")
    spread, notes = spread_given(given, fixed)
    z = normal_point(given["risk"])
    if given["convention"] == "at_limit":
        u = spread.at(limit)
        ceiling = limit - z * u
    else:
        u, ceiling = spread.at(counted), spread.ceiling(limit, z)
    over = counted >= limit if given["comparator"] == "at_or_above" else counted > limit
    verdict = "at_or_over" if over else "below" if counted <= ceiling and counted < limit else "not_cleared"
    values: dict[str, Value] = {
        "verdict": verdict, "counted": counted, "u": u, "p_below": told(below(float((limit - counted) / u))),
    }  # fmt: skip
    if ceiling > 0:
        values["ceiling"] = ceiling
    else:
        notes.append(Note("no_ceiling"))
    if raw is not None and raw > given["result"]:
        notes.append(Note("raw_counts"))
    if limit <= fixed.number("reliable_above"):
        notes.append(Note("limit_at_floor_said", {"floor": figure_words(fixed.number("reliable_above"))}))
    return Worked(values, (Note(f"verdict_{verdict}"), *notes))


def conformity(given: Given, fixed: Fixed) -> Worked:
    """The chance that the true value lies within limits, under the lower, over the upper, for a normal error."""
    lower, upper, u = given["lower"], given["upper"], given["u"]
    if lower is None and upper is None:
        raise CannotWork("upper", "limit_missing")
    if lower is not None and upper is not None and lower >= upper:
        raise CannotWork("upper", "limits_crossed")
    if not u:
        raise CannotWork("u", "uncertainty_nought")
    under = below(float((lower - given["value"]) / u)) if lower is not None else 0.0
    over = below(float((given["value"] - upper) / u)) if upper is not None else 0.0
    return Worked({"inside": told(max(0.0, 1 - under - over)), "under": told(under), "over": told(over)})


def _known_method(given: Given) -> None:
    if given["method"] == "astm_d4059":
        raise CannotWork("method", "formula_not_read")


def replicates(given: Given, fixed: Fixed) -> Worked:
    """Results of one sample against each other, in mg/kg; the highest counts. `u_percent`: of each, for three or more.

    Two by the difference that IEC 61619 allows; three or more by chi-square.
    """
    _known_method(given)
    results = given["results"]
    if len(results) < PAIR:
        raise CannotWork("results", "one_result")
    _no_nought(min(results), "results")
    grows = fixed.number("allowed_two" if given["laboratories"] == "two" else "allowed_same")
    allowed, notes = Spread(fixed.number("allowed_always"), grows), []
    if len(results) == PAIR:
        compared = _pair(results, allowed)
    else:
        spread = Spread(*(part / HALF_WIDTH_TO_SPREAD for part in allowed))
        if given["u_percent"] is None:
            notes.append(Note("spread_by_rule"))
        else:
            spread = Spread(Decimal(0), given["u_percent"] / PER_CENT)
        compared = _several(results, spread, fixed.number("chance_limit"))
    counts = max(results)
    if compared.agreement == "suspect":
        notes.insert(0, Note("suspect_again"))
    slots = {"counts": figure_words(counts), "mean": rounded_words(compared.mean)}
    values = {"agreement": compared.agreement, "counts": counts, "mean": compared.mean, **compared.values}
    return Worked(values, (Note("highest_counts", slots), *notes))


class Compared(NamedTuple):
    """Whether results agree, about which mean, and the figures that show it."""

    agreement: str
    mean: Decimal
    values: dict[str, Value]


def _pair(results: tuple[Decimal, ...], allowed: Spread) -> Compared:
    """Two results by their difference."""
    mean, difference = sum(results, Decimal(0)) / PAIR, abs(results[0] - results[-1])
    agreement = "accepted" if difference <= allowed.at(mean) else "suspect"
    return Compared(agreement, mean, {"difference": difference, "allowed": allowed.at(mean)})


def _several(results: tuple[Decimal, ...], spread: Spread, chance_limit: Decimal) -> Compared:
    """Three results or more by chi-square about the mean weighted by one over the square of each uncertainty."""
    weights = [1 / spread.at(one) ** 2 for one in results]
    mean = sum((w * one for w, one in zip(weights, results, strict=True)), Decimal(0)) / sum(weights)
    square = sum((w * (one - mean) ** 2 for w, one in zip(weights, results, strict=True)), Decimal(0))
    freedom = len(results) - 1
    chance = told(chi_square_above(float(square), freedom))
    agreement = "suspect" if chance < chance_limit else "accepted"
    return Compared(agreement, mean, {"chi_square": square, "chance": chance, "birge": (square / freedom).sqrt()})


def chi_square_above(value: float, freedom: int) -> float:
    """How likely a chi-square of so many degrees of freedom lies above a value: a finite sum, as these are whole."""
    half, odd = value / 2, freedom % 2
    total = erfc(sqrt(half)) if odd else 0.0
    term = exp(-half) * (2 * sqrt(half / pi) if odd else 1.0)
    step = 1.5 if odd else 1.0
    for _ in range(freedom // 2):
        total += term
        term *= half / step
        step += 1
    return min(total, 1.0)


def borderline(given: Given, fixed: Fixed) -> Worked:
    """Whether a result below a limit is so near it that a second laboratory might well say otherwise. mg/kg."""
    _known_method(given)
    result, limit, floor = given["result"], given["limit"], fixed.number("reliable_above")
    _no_nought(result, "result")
    if limit <= floor:
        raise CannotWork("limit", "limit_at_floor", floor=figure_words(floor))
    allowed = fixed.number("allowed_always") + fixed.number("allowed_two") * result
    reach = fixed.number("one_sided_of_allowed") * allowed
    near = "at_or_over" if result >= limit else "borderline" if result + reach >= limit else "not_borderline"
    return Worked({"near": near, "reach": reach, "top": result + reach}, (Note("advice_alone"),))


WORK: dict[str, Work] = {
    "ppm": ppm,
    "decide": decide,
    "conformity": conformity,
    "replicates": replicates,
    "borderline": borderline,
}
