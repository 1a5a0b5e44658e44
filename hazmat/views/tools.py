"""Sampling gear and test cells: the list, one piece with all that it touched, adding, cleaning, taking out of use."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_http_methods

from hazmat.actions.tools import add_tool as write_tool
from hazmat.actions.tools import clean_tool as write_cleaning
from hazmat.actions.tools import retire_tool as write_retirement
from hazmat.core.tools import ToolNow
from hazmat.forms.tools import CleanForm, RetireForm, ToolForm
from hazmat.models import Tool
from hazmat.queries.entries import past
from hazmat.queries.tools import IN_USE, SHOWN, tool_now, tools, traces
from hazmat.queries.yards import Standing
from hazmat.views.access import in_yard, page, token_in
from hazmat.views.saved import write


@require_GET
@in_yard("see")
def all_tools(request: HttpRequest, here: Standing) -> HttpResponse:
    """The gear of the yard: what is in use, with what clings to it, then what is out of use."""
    whole = "whole" in request.GET
    rows = traces(tools(here.yard.pk, IN_USE))
    out = tools(here.yard.pk, ~IN_USE, most=None if whole else SHOWN + 1)
    shown = out if whole else out[:SHOWN]
    return page(request, here, "hazmat/tools.html", rows=rows, out=shown, more=len(out) > len(shown))


@require_GET
@in_yard("see")
def tool(request: HttpRequest, here: Standing, tool: str) -> HttpResponse:
    """One piece of gear: whether it may be used, the oil that it touched and its cleanings in order of time."""
    whole = "whole" in request.GET
    (trace,) = traces([the_tool(here, tool)], None if whole else SHOWN)
    entries, older = past(UUID(trace.tool.id), Tool, whole=whole)
    return page(
        request, here, "hazmat/tool.html", trace=trace, tool=trace.tool, entries=entries, older=older,
    )  # fmt: skip


@require_http_methods(["GET", "POST"])
@in_yard("add_tool")
def add_tool(request: HttpRequest, here: Standing) -> HttpResponse:
    """Give a piece of gear its code."""
    form = ToolForm(request.POST or None, zone=here.zone)
    if receipt := write(
        request, here, form, lambda asked: write_tool(asked, told=form.told()), "Write its code on it."
    ):
        code = Tool.objects.values_list("code", flat=True).get(pk=receipt.the("hazmat.tool"))
        return redirect("tool", yard=here.yard.code, tool=code)
    return page(request, here, "hazmat/add_tool.html", form=form, act=token_in(request, here))


@require_http_methods(["GET", "POST"])
@in_yard("clean_tool")
def clean_tool(request: HttpRequest, here: Standing, tool: str) -> HttpResponse:
    """Write down that gear was cleaned."""
    now = the_tool(here, tool)
    form = CleanForm(request.POST or None, zone=here.zone)
    if write(request, here, form, lambda asked: write_cleaning(asked, tool=UUID(now.id), **form.told())):
        return redirect("tool", yard=here.yard.code, tool=tool)
    return page(request, here, "hazmat/clean_tool.html", tool=now, form=form, act=token_in(request, here))


@require_http_methods(["GET", "POST"])
@in_yard("retire_tool")
def retire_tool(request: HttpRequest, here: Standing, tool: str) -> HttpResponse:
    """Take gear out of use."""
    now = the_tool(here, tool)
    form = RetireForm(request.POST or None, zone=here.zone)
    if write(request, here, form, lambda asked: write_retirement(asked, tool=UUID(now.id), **form.told())):
        return redirect("tool", yard=here.yard.code, tool=tool)
    return page(request, here, "hazmat/retire_tool.html", tool=now, form=form, act=token_in(request, here))


def the_tool(here: Standing, code: str) -> ToolNow:
    """The gear of this code in this yard. Raises Http404."""
    found = tool_now(here.yard.pk, code)
    if found is None:
        raise Http404
    return found
