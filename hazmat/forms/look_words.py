"""The answers that *Look* offers, in plain words; the first word of a pair is what the record holds."""

from typing import get_args

from hazmat.core.facts import Kind

NOT_KNOWN = ("unknown", "Don't know")
ANSWER = (("yes", "Yes"), ("no", "No"), NOT_KNOWN)
ARRIVAL = (("gate", "At the gate of this yard"), ("found", "Found in place"))
CONSENT = (("given", "Yes"), ("asked", "Asked, no answer yet"), ("refused", "No"), NOT_KNOWN)

BIG = {
    "pole_unit": "Pole unit",
    "pad_unit": "Pad unit",
    "capacitor": "Capacitor can",
    "switch": "Switch",
    "bushing": "Bushing",
    "drum": "Drum or tin",
}
"""What most units are, with a picture each."""
MORE = {
    "transformer": "Another transformer",
    "regulator": "Voltage regulator",
    "breaker": "Circuit breaker",
    "recloser": "Recloser",
    "instrument_transformer": "Instrument transformer",
    "cable": "Oil-filled cable",
    "rectifier": "Rectifier",
    "ballast": "Lamp ballast",
    "electromagnet": "Electromagnet",
    "motor": "Motor",
    "other": "Something else, or don't know",
}
KIND = (*BIG.items(), *MORE.items())
KIND_WORDS = {
    "transformer": "Transformer",
    **BIG,
    **{kind: word for kind, word in MORE.items() if kind != "transformer"},
}
SPACE_KIND = (("unknown", "Like the unit"), *((kind, KIND_WORDS[kind]) for kind in get_args(Kind)))
MOUNTING = (
    ("pole", "On a pole"), ("pad", "On a pad"), ("ground", "On the ground"), ("indoor", "Indoors"), NOT_KNOWN,
)  # fmt: skip

LEAK = (
    ("none", "None to be seen"), ("sweating", "Sweating: a wet film"), ("dripping", "Dripping"),
    ("pool", "A pool under it"), NOT_KNOWN,
)  # fmt: skip
STATE = (
    ("intact", "Intact"), ("leaking", "Leaking"), ("drained", "Drained"), ("in_use", "In use"),
    ("removed", "Taken out of use"), NOT_KNOWN,
)  # fmt: skip

PLATE = (("readable", "Readable"), ("partly", "In parts"), ("missing", "Missing"), NOT_KNOWN)
SPAN = (
    ("in", "In this year"), ("between", "Between two years"), ("before", "In this year or before"),
    ("after", "In this year or later"), ("about", "About this year"), NOT_KNOWN,
)  # fmt: skip
MARK = (
    ("maker_no_pcbs", "A label of the maker: No PCBs"), ("owner_no_pcbs", "A label of the owner: No PCBs"),
    ("pcb_mark", "A warning mark: contains PCBs"), ("pcb_contaminated_mark", "A mark: PCB-contaminated"),
)  # fmt: skip

SELLER = (("told", "Something, see below"), ("knows_nothing", "Doesn't know"), ("unasked", "Nobody was asked"))

FLUID = (
    ("mineral", "Mineral oil"), ("askarel", "Askarel"), ("silicone", "Silicone fluid"), ("ester", "Ester"),
    ("other", "Another fluid"), NOT_KNOWN,
)  # fmt: skip
CHANGE = {
    "refilled": "It was refilled",
    "topped_up": "It was topped up",
    "reclaimed": "Its oil was reclaimed",
    "retrofilled": "It was retrofilled",
    "drained": "It was drained",
}
SERVICE = (("all", "All, from the first day"), ("some", "Some"), ("none", "None"), NOT_KNOWN)
CONSTRUCTION = (("conservator", "With a conservator"), ("sealed", "Sealed"), NOT_KNOWN)

ROLE = (
    ("holder", "I hold it"), ("generator", "It became waste with me"), ("collector", "I collect it for others"),
    ("carrier", "I carry it"), ("receiver", "I receive it"), NOT_KNOWN,
)  # fmt: skip
SITE = (
    ("sensitive", "A school, hospital, home for children or the old, a food or water plant, or close by one"),
    ("electrical_facility", "A place that makes, sends or shares out electricity"), ("other", "Elsewhere"), NOT_KNOWN,
)  # fmt: skip
TRIED = {
    "detector_before": "Was the voltage detector tried on a known source before?",
    "detector_after": "And tried again after?",
    "back_feed": "Was feeding back from the low-voltage side shut out?",
    "earthed": "Are earths on?",
}
SOURCE = (("", "not said"), ("seen", "seen"), ("said", "said by somebody"), ("guessed", "guessed"))
