"""Advice on pregnancy and breast-feeding is general: nowhere is it asked, kept or said of one person."""

import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django import forms
from django.apps import apps

import disposal.forms
import hazmat.forms
from hazmat import rulebooks
from hazmat.actions.injuries import KEYS
from hazmat.book.act import VERBS
from tests.conftest import ROOT

BODY = re.compile(r"pregnan|breast|nursing|expecting|maternity|lactat|\bcycle\b|fertil", re.IGNORECASE)
ASKS = re.compile(r"<(?:input|select|textarea|label|option)[^>]*>[^<]*", re.IGNORECASE)


def form_classes() -> Iterator[type[forms.BaseForm]]:
    """Every form of both apps: found, not listed."""
    for package in (hazmat.forms, disposal.forms):
        for module in pkgutil.iter_modules(package.__path__, f"{package.__name__}."):
            for _, one in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
                if issubclass(one, forms.BaseForm) and one.__module__ == module.name:
                    yield one


def words_of(form: type[forms.BaseForm]) -> Iterator[str]:
    """Everything that a form asks: names, labels, help, answers."""
    for name, field in form.base_fields.items():
        yield from (name, str(field.label or ""), str(field.help_text or ""))
        yield from (str(word) for choice in getattr(field, "choices", ()) for word in choice)


def test_no_form_asks_for_it() -> None:
    found = list(form_classes())
    assert {"MemberForm", "NoteForm", "TrainingForm", "OutForm", "SignInForm"} <= {one.__name__ for one in found}
    assert [(one.__name__, word) for one in found for word in words_of(one) if BODY.search(word)] == []


def test_no_column_keeps_it() -> None:
    models = [one for one in apps.get_models() if one._meta.app_label in ("hazmat", "disposal")]
    assert len(models) > 30
    told = [(one.__name__, field.name) for one in models for field in one._meta.get_fields()]
    assert [name for name in told if BODY.search(" ".join(name))] == []


def test_no_act_takes_it_and_no_note_has_a_word_for_it() -> None:
    told = [*KEYS, *(name for act in VERBS.values() for name in inspect.signature(act).parameters)]
    assert [name for name in told if BODY.search(name)] == []


@pytest.mark.parametrize("file", sorted((ROOT / "templates").rglob("*.html")), ids=lambda file: file.stem)
def test_no_page_asks_for_it(file: Path) -> None:
    assert [box for box in ASKS.findall(file.read_text(encoding="utf-8")) if BODY.search(box)] == []


def test_the_general_advice_is_still_there() -> None:
    """Else the tests above would pass because nothing speaks of it at all."""
    house = rulebooks.rulebook(rulebooks.HANDLING)
    assert any(BODY.search(act.says) for act in house.acts)


def test_a_box_that_asked_for_it_would_be_found() -> None:
    class Asking(forms.Form):
        expecting = forms.BooleanField(label="Are you pregnant?")

    assert [word for word in words_of(Asking) if BODY.search(word)] == ["expecting", "Are you pregnant?"]
    assert BODY.search(ASKS.findall('<label for="x">Breast-feeding</label>')[0])
