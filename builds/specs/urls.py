from django.urls import path

from . import cable_views, check_views, learning_views, loop_views, run_views, take_views, views

app_name = "specs"
urlpatterns = [
    path("jobs/<job:number>/spec/", views.spec, name="spec"),
    path("jobs/<job:number>/spec/roles/<int:role>/", views.role, name="role"),
    path("jobs/<job:number>/spec/roles/<int:role>/choose/", views.choose, name="choose"),
    path("jobs/<job:number>/spec/roles/<int:role>/move/", views.move, name="move"),
    path("jobs/<job:number>/spec/roles/<int:role>/remove/", views.remove, name="remove"),
    path("jobs/<job:number>/spec/take/", take_views.take, name="take"),
    path("jobs/<job:number>/spec/versions/<int:version>/", views.version, name="version"),
    path("jobs/<job:number>/loop/", loop_views.loop, name="loop"),
    path("jobs/<job:number>/loop/sheet.pdf", loop_views.loop_pdf, name="loop_pdf"),
    path("jobs/<job:number>/loop/order/", loop_views.order, name="order"),
    path("jobs/<job:number>/loop/<int:loop>/", loop_views.loop_facts, name="loop_facts"),
    path("jobs/<job:number>/loop/<int:loop>/runs/", run_views.runs, name="runs"),
    path("jobs/<job:number>/loop/<int:loop>/filling/", run_views.filling, name="filling"),
    path("jobs/<job:number>/spec/count/", run_views.count, name="count"),
    path("jobs/<job:number>/loop/<int:loop>/usual/", loop_views.usual, name="usual"),
    path("jobs/<job:number>/loop/<int:loop>/remove/", loop_views.remove_loop, name="remove_loop"),
    path("jobs/<job:number>/loop/<int:loop>/add/", loop_views.add, name="add"),
    path("jobs/<job:number>/loop/<int:loop>/<int:role>/", loop_views.step, name="step"),
    path("jobs/<job:number>/loop/<int:loop>/<int:role>/move/", loop_views.move, name="move_step"),
    path("jobs/<job:number>/loop/<int:loop>/<int:role>/remove/", loop_views.remove, name="remove_step"),
    path("workshop/learning/", learning_views.learning, name="learning"),
    path("workshop/learning/<int:pk>/aside/", learning_views.aside, name="aside"),
    path("workshop/learning/<int:pk>/back/", learning_views.take_back, name="take_back"),
    path("jobs/<job:number>/cables/", cable_views.cables, name="cables"),
    path("jobs/<job:number>/cables/sheet.pdf", cable_views.cut_sheet, name="cut_sheet"),
    path("jobs/<job:number>/cables/<int:cable>/", cable_views.cable, name="cable"),
    path("jobs/<job:number>/cables/<int:cable>/pins/", cable_views.pin_out, name="pin_out"),
    path("jobs/<job:number>/cables/<int:cable>/ring/", cable_views.ring, name="ring"),
    path("jobs/<job:number>/cables/<int:cable>/remove/", cable_views.remove, name="remove_cable"),
    path("jobs/<job:number>/checks/", check_views.checks, name="checks"),
    path("jobs/<job:number>/checks/<str:fingerprint>/waive/", check_views.waive, name="waive"),
    path("jobs/<job:number>/checks/waivers/<int:waiver>/withdraw/", check_views.withdraw, name="withdraw"),
]
