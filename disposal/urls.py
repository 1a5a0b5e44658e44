"""The addresses of the pages of drums and loads, inside one yard."""

from django.urls import URLPattern, URLResolver, path

from disposal.views import bays, certificates, clocks, drums, handing, loads, official, papers, partners

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
    path("clocks/", clocks.clocks, name="clocks"),
    path("loads/", loads.loads, name="loads"),
    path("loads/plan/", loads.plan_load, name="plan_load"),
    path("loads/<int:load>/", loads.load, name="load"),
    path("loads/<int:load>/change/", loads.change_load, name="change_load"),
    path("loads/<int:load>/number/", official.number_load, name="number_load"),
    path("loads/<int:load>/put/", loads.put_on_load, name="put_on_load"),
    path("loads/<int:load>/off/<uuid:item>/", loads.take_off_load, name="take_off_load"),
    path("loads/<int:load>/sign/<str:party>/", handing.sign_load, name="sign_load"),
    path("loads/<int:load>/arrived/", handing.receive_load, name="receive_load"),
    path("loads/<int:load>/settle/", handing.settle_arrival, name="settle_arrival"),
    path("loads/<int:load>/certificate/", certificates.enter_certificate, name="enter_certificate"),
    path("loads/<int:load>/sheet/print/", papers.load_sheet, name="issue_load_sheet"),
    path("loads/<int:load>/close/", certificates.close_load, name="close_load"),
    path("signatures/<uuid:signature>/", handing.signature, name="signature"),
    path("certificates/<uuid:certificate>/", certificates.certificate, name="certificate"),
    path("partners/", partners.partners, name="partners"),
    path("partners/add/", partners.add_partner, name="add_partner"),
    path("partners/<uuid:partner>/", partners.partner, name="partner"),
    path("partners/<uuid:partner>/correct/", partners.correct_partner, name="correct_partner"),
    path("partners/<uuid:partner>/licences/", partners.add_licence, name="add_licence"),
    path("partners/<uuid:partner>/licences/<uuid:licence>/", partners.correct_licence, name="correct_licence"),
]
