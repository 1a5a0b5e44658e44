"""The addresses of the pages: all but signing in lie inside one yard."""

from django.urls import URLPattern, URLResolver, include, path, register_converter
from django.utils.module_loading import import_string

from hazmat.core.codes import ALPHABET
from hazmat.views import (
    about,
    air,
    bottles,
    breakdowns,
    clues,
    conditions,
    crews,
    emergency,
    extensions,
    files,
    gear,
    hazards,
    injuries,
    look,
    next,
    outings,
    papers,
    people,
    plan,
    results,
    rule_book,
    screens,
    sign,
    spaces,
    spills,
    sums,
    tools,
    training,
    units,
    verdicts,
    yards,
)


class CodeConverter:
    """A code of six characters of our alphabet: of a yard, or a unit's tag."""

    regex = f"[{ALPHABET}]{{6}}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(CodeConverter, "code")

in_one_yard: list[URLPattern | URLResolver] = [
    path("", next.next, name="next"),
    path("look/", look.look, name="look"),
    path("units/", units.units, name="units"),
    path("units/<code:tag>/", units.unit, name="unit"),
    path("units/<code:tag>/correct/", units.correct_unit, name="correct_unit"),
    path("units/<code:tag>/extensions/", extensions.extend_use, name="extend_use"),
    path("units/<code:tag>/extensions/<uuid:extension>/", extensions.correct_extension, name="correct_extension"),
    path("units/<code:tag>/sampling-plan/", plan.sampling_plan, name="sampling_plan"),
    path("units/<code:tag>/hazards/", hazards.walk_hazards, name="walk_hazards"),
    path("units/<code:tag>/clues/", clues.record_clues, name="record_clues"),
    path("units/<code:tag>/spaces/add/", spaces.add_space, name="add_space"),
    path("units/<code:tag>/spaces/off/", spaces.remove_part, name="remove_part"),
    path("units/<code:tag>/dead/", units.prove_dead, name="prove_dead"),
    path("units/<code:tag>/photographs/", units.add_photographs, name="add_photographs"),
    path("units/<code:tag>/bottles/", bottles.label_bottle, name="label_bottle"),
    path("units/<code:tag>/results/", results.enter_result, name="enter_result"),
    path("units/<code:tag>/results/<uuid:result>/", results.amend_result, name="amend_result"),
    path("units/<code:tag>/screens/", screens.record_screen, name="record_screen"),
    path("units/<code:tag>/screens/<uuid:screen>/", screens.correct_screen, name="correct_screen"),
    path("screens/<uuid:screen>/second/", screens.read_screen, name="read_screen"),
    path("units/<code:tag>/breakdowns/", breakdowns.record_breakdown, name="record_breakdown"),
    path("units/<code:tag>/breakdowns/<uuid:breakdown>/", breakdowns.breakdown, name="breakdown"),
    path(
        "units/<code:tag>/breakdowns/<uuid:breakdown>/correct/", breakdowns.correct_breakdown, name="correct_breakdown"
    ),
    path("units/<code:tag>/conditions/", conditions.record_condition, name="record_condition"),
    path("units/<code:tag>/conditions/<uuid:condition>/", conditions.condition, name="condition"),
    path(
        "units/<code:tag>/conditions/<uuid:condition>/correct/", conditions.correct_condition, name="correct_condition"
    ),
    path("units/<code:tag>/verdict/", verdicts.sign_verdict, name="sign_verdict"),
    path("verdicts/<uuid:verdict>/second/", verdicts.second_verdict, name="second_verdict"),
    path("bottles/<code:bottle>/", bottles.bottle, name="bottle"),
    path("bottles/<code:bottle>/hand/", bottles.hand_bottle, name="hand_bottle"),
    path("units/<code:tag>/gear/", gear.gear, name="gear"),
    path("units/<code:tag>/gear/<slug:task>/", gear.gear_card, name="gear_card"),
    path("gear/", tools.all_tools, name="tools"),
    path("gear/add/", tools.add_tool, name="add_tool"),
    path("gear/<code:tool>/", tools.tool, name="tool"),
    path("gear/<code:tool>/clean/", tools.clean_tool, name="clean_tool"),
    path("gear/<code:tool>/retire/", tools.retire_tool, name="retire_tool"),
    path("spills/", spills.all_spills, name="spills"),
    path("spills/open/", spills.open_spill, name="open_spill"),
    path("spills/stain/", spills.old_stain, name="old_stain"),
    path("spills/<uuid:spill>/", spills.spill, name="spill"),
    path("spills/<uuid:spill>/correct/", spills.correct_spill, name="correct_spill"),
    path("spills/<uuid:spill>/told/", spills.told_of_spill, name="told_of_spill"),
    path("spills/<uuid:spill>/step/", spills.spill_step, name="spill_step"),
    path("spills/<uuid:spill>/end/", spills.close_spill, name="close_spill"),
    path("spills/<uuid:spill>/note/", spills.issue_spill_note, name="issue_spill_note"),
    path("units/<code:tag>/papers/", papers.issue, name="issue_paper"),
    path("papers/<uuid:paper>/", papers.paper, name="paper"),
    path("papers/<uuid:paper>/pdf/", papers.paper_pdf, name="paper_pdf"),
    path("reports/<uuid:result>/", files.report, name="report"),
    path("photographs/<uuid:picture>/<str:size>/", files.photograph, name="photograph"),
    path("day-book/", about.day_book, name="day_book"),
    path("rule-book/", rule_book.rule_book, name="rule_book"),
    path("air/", air.air_limits, name="air_limits"),
    path("sums/", sums.sums_list, name="sums"),
    path("sums/<slug:sum>/", sums.sum_page, name="sum"),
    path("keeping/", about.keeping, name="keeping"),
    path("keeping/yard/", yards.set_yard, name="set_yard"),
    path("people/", people.people, name="people"),
    path("people/end/<uuid:member>/", people.end_member, name="end_member"),
    path("people/leave/", people.leave_yard, name="leave_yard"),
    path("people/link/<uuid:person>/", people.make_link, name="make_link"),
    path("people/link/<uuid:person>/back/", people.take_back_link, name="take_back_link"),
    path("people/may/", training.who, name="who"),
    path("people/may/let/", training.override_training, name="override_training"),
    path("people/<uuid:person>/training/", training.training, name="training"),
    path("people/<uuid:person>/training/add/", training.record_training, name="record_training"),
    path("people/training/<uuid:training>/correct/", training.correct_training, name="correct_training"),
    path("people/training/<uuid:training>/certificate/", training.training_certificate, name="training_certificate"),
    path("units/<code:tag>/crew/", crews.crew, name="crew"),
    path("crew/<uuid:signed>/out/", crews.sign_out_crew, name="sign_out_crew"),
    path("crew/<uuid:crew>/list/", crews.issue_crew_list, name="issue_crew_list"),
    path("out/", outings.out, name="out"),
    path("out/<uuid:outing>/back/", outings.come_back, name="come_back"),
    path("people/notes/", injuries.injuries, name="injuries"),
    path("people/notes/add/", injuries.note_injury, name="note_injury"),
    path("people/notes/<uuid:note>/erase/", injuries.erase_note, name="erase_note"),
    path("emergency/", emergency.emergency, name="emergency"),
    path("emergency/change/", emergency.set_emergency, name="set_emergency"),
    path("emergency/sheet/", emergency.issue_emergency_sheet, name="issue_emergency_sheet"),
    *import_string("disposal.urls.in_one_yard"),
]

urlpatterns: list[URLPattern | URLResolver] = [
    path("", sign.home, name="home"),
    path("sign-in/", sign.sign_in, name="sign_in"),
    path("sign-out/", sign.sign_out, name="sign_out"),
    path("door/<str:secret>/", sign.door, name="door"),
    path("<code:yard>/", include(in_one_yard)),
]
