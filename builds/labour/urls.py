from django.urls import path

from . import bench_views, clock_views, pattern_views, rate_views, views

app_name = "labour"
urlpatterns = [
    path("jobs/<job:number>/plan/", views.plan, name="plan"),
    path("jobs/<job:number>/plan/card.pdf", views.card, name="card"),
    path("jobs/<job:number>/plan/lay-out/", views.lay_out_plan, name="lay_out"),
    path("jobs/<job:number>/plan/add/", views.task_add, name="task_add"),
    path("tasks/<int:pk>/", views.task_edit, name="task_edit"),
    path("tasks/<int:pk>/remove/", views.task_remove, name="task_remove"),
    path("tasks/<int:pk>/done/", views.task_done, name="task_done"),
    path("tasks/<int:pk>/undo/", views.task_undo, name="task_undo"),
    path("tasks/<int:pk>/up/", views.task_move, {"way": "up"}, name="task_up"),
    path("tasks/<int:pk>/down/", views.task_move, {"way": "down"}, name="task_down"),
    path("clock/", clock_views.clock, name="clock"),
    path("clock/start/<int:pk>/", clock_views.clock_start, name="clock_start"),
    path("clock/stop/", clock_views.clock_stop, name="clock_stop"),
    path("hours/", clock_views.hours, name="hours"),
    path("hours/add/", clock_views.hours_add, name="hours_add"),
    path("hours/<int:pk>/", clock_views.hours_edit, name="hours_edit"),
    path("hours/<int:pk>/remove/", clock_views.hours_remove, name="hours_remove"),
    path("workshop/bench/", bench_views.bench_time, name="bench_time"),
    path("workshop/bench/<int:pk>/", bench_views.bench_week, name="bench_week"),
    path("workshop/bench/away/<int:pk>/remove/", bench_views.absence_remove, name="absence_remove"),
    path("rates/", rate_views.rates, name="rates"),
    path("rates/add/", rate_views.rate_edit, name="rate_add"),
    path("rates/<int:pk>/", rate_views.rate_edit, name="rate_edit"),
    path("patterns/add/", pattern_views.pattern_edit, name="pattern_add"),
    path("patterns/<int:pk>/", pattern_views.pattern, name="pattern"),
    path("patterns/<int:pk>/name/", pattern_views.pattern_edit, name="pattern_edit"),
    path("patterns/<int:pk>/step/", pattern_views.step_add, name="step_add"),
    path("patterns/step/<int:pk>/", pattern_views.step_edit, name="step_edit"),
    path("patterns/step/<int:pk>/remove/", pattern_views.step_remove, name="step_remove"),
]
