"""Who may do what: role by act, as data. A yard may be stricter by giving somebody fewer roles, never laxer."""

from collections.abc import Iterable
from typing import Literal, get_args

Role = Literal["technician", "yard_hand", "safety_officer", "manager", "visitor"]
ROLES: tuple[Role, ...] = get_args(Role)
WORDS: dict[str, str] = {
    "technician": "technician",
    "yard_hand": "yard hand",
    "safety_officer": "safety officer",
    "manager": "yard manager",
    "visitor": "visitor",
}
LONE: tuple[Role, ...] = ("technician", "yard_hand", "safety_officer", "manager")
"""What the person of a lone book holds: nothing may lock him out for want of a second one."""

EVERYBODY = frozenset(ROLES)
WORKERS = EVERYBODY - {"visitor"}
OFFICE: frozenset[Role] = frozenset(("safety_officer", "manager"))
MAY: dict[str, frozenset[Role]] = {
    "see": EVERYBODY,
    "see_private": WORKERS,
    "log_unit": WORKERS,
    "correct_unit": frozenset(("technician", "safety_officer", "manager")),
    "reassess_units": OFFICE,
    "add_space": frozenset(("technician", "safety_officer", "manager")),
    "remove_part": frozenset(("technician", "safety_officer", "manager")),
    "prove_dead": frozenset(("technician", "safety_officer")),
    "add_photographs": WORKERS,
    "label_bottle": frozenset(("technician", "safety_officer")),
    "hand_bottle": WORKERS,
    "add_tool": WORKERS,
    "clean_tool": WORKERS,
    "retire_tool": WORKERS,
    "record_screen": WORKERS,
    "read_screen": WORKERS,
    "record_breakdown": frozenset(("technician", "safety_officer", "manager")),
    "record_clues": WORKERS,
    "walk_hazards": WORKERS,
    "extend_use": frozenset(("technician", "safety_officer", "manager")),
    "record_condition": frozenset(("technician", "safety_officer", "manager")),
    "enter_result": frozenset(("technician", "safety_officer", "manager")),
    "sign_verdict": frozenset(("safety_officer",)),
    "second_verdict": OFFICE,
    "hold_reached": frozenset(("safety_officer",)),
    "issue_paper": WORKERS,
    "seal_paper": WORKERS,
    "open_yard": frozenset(("manager",)),
    "add_member": frozenset(("manager",)),
    "end_member": frozenset(("manager",)),
    "leave_yard": WORKERS,
    "make_link": frozenset(("manager",)),
    "erase_aside": frozenset(("manager",)),
    "record_training": OFFICE,
    "override_training": frozenset(("manager",)),
    "sign_in_crew": WORKERS,
    "sign_out_crew": WORKERS,
    "issue_crew_list": WORKERS,
    "go_out": WORKERS,
    "come_back": WORKERS,
    "see_health": OFFICE,
    "note_injury": WORKERS,
    "set_emergency": frozenset(("manager",)),
    "issue_emergency_sheet": WORKERS,
    "set_yard": frozenset(("manager",)),
    "open_spill": WORKERS,
    "old_stain": WORKERS,
    "correct_spill": WORKERS,
    "told_of_spill": WORKERS,
    "spill_step": WORKERS,
    "close_spill": frozenset(("safety_officer",)),
    "issue_spill_note": WORKERS,
    "label_drum": WORKERS,
    "pour": WORKERS,
    "add_bay": OFFICE,
    "put_in_bay": WORKERS,
    "add_partner": OFFICE,
    "add_licence": OFFICE,
    "plan_load": OFFICE,
    "change_load": OFFICE,
    "number_load": OFFICE,
    "put_on_load": OFFICE,
    "take_off_load": OFFICE,
    "sign_load": OFFICE,
    "receive_load": OFFICE,
    "settle_arrival": OFFICE,
    "enter_certificate": OFFICE,
    "close_load": OFFICE,
    "issue_drum_label": WORKERS,
    "issue_load_sheet": OFFICE,
}
"""`see_private`: names, telephones, places of pictures; `see_health`: notes of injuries of anybody. Everything else is
the verb of an act, or seeing."""
WORK: dict[str, frozenset[Role]] = {
    "look": MAY["log_unit"], "prove": MAY["prove_dead"], "sample": MAY["label_bottle"], "screen": MAY["record_screen"],
    "drain": MAY["pour"], "drums": MAY["put_in_bay"], "cut": MAY["remove_part"], "spill": WORKERS,
    "hand_over": MAY["sign_load"], "fire": frozenset(),
}  # fmt: skip
"""Whose work each piece of work at a unit or a drum is: that of the roles that may write it down."""


def may(roles: Iterable[str], act: str) -> bool:
    """Whether somebody with these roles may do this. Raises KeyError for an act that nobody decided about."""
    return not MAY[act].isdisjoint(roles)


def allowed(roles: Iterable[str]) -> frozenset[str]:
    """All that somebody with these roles may do."""
    held = frozenset(roles)
    return frozenset(act for act, who in MAY.items() if not who.isdisjoint(held))
