from django.urls import URLPattern, path

from coaching.library import views, views_load, views_own

app_name = "library"

urlpatterns: list[URLPattern] = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/add/", views_own.add_exercise, name="add-exercise"),
    path("exercises/<slug:key>/", views_load.exercise, name="exercise"),
    path("exercises/<slug:key>/copy/", views_own.copy_exercise, name="copy-exercise"),
    path("exercises/<slug:key>/edit/", views_own.edit_exercise, name="edit-exercise"),
    path("exercises/<slug:key>/retire/", views_own.retire_exercise, name="retire-exercise"),
    path(
        "exercises/<slug:key>/bring-back/",
        views_own.bring_back_exercise,
        name="bring-back-exercise",
    ),
    path("ladders/", views_load.ladders, name="ladders"),
    path("ladders/<slug:key>/", views_load.ladder, name="ladder"),
    path("sources/", views.sources, name="sources"),
    path("guide/", views.guide, name="guide"),
]
