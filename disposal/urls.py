"""The addresses of the pages of drums and loads, inside one yard."""

from django.urls import URLPattern, URLResolver, path

from disposal.views import bays, drums, papers

in_one_yard: list[URLPattern | URLResolver] = [
    path("drums/", drums.drums, name="drums"),
    path("drums/label/", drums.label_drum, name="label_drum"),
    path("drums/<code:drum>/", drums.drum, name="drum"),
    path("drums/<code:drum>/pour/", drums.pour, name="pour"),
    path("drums/<code:drum>/label/print/", papers.drum_label, name="issue_drum_label"),
    path("drums/<code:drum>/bay/", bays.put_drum, name="put_drum"),
    path("units/<code:tag>/slop-can/", drums.label_slop_can, name="label_slop_can"),
    path("units/<code:tag>/drain/", drums.drain, name="drain"),
    path("units/<code:tag>/bay/", bays.put_unit, name="put_unit"),
    path("bays/", bays.all_bays, name="bays"),
    path("bays/add/", bays.add_bay, name="add_bay"),
    path("bays/<uuid:bay>/", bays.rename_bay, name="rename_bay"),
]
