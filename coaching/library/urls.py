from django.urls import URLPattern, path

from coaching.library import views, views_own

app_name = "library"

urlpatterns: list[URLPattern] = [
    path("exercises/", views.exercises, name="exercises"),
    path("exercises/add/", views_own.add_exercise, name="add-exercise"),
    path("exercises/<slug:key>/", views.exercise, name="exercise"),
    path("exercises/<slug:key>/copy/", views_own.copy_exercise, name="copy-exercise"),
    path("exercises/<slug:key>/edit/", views_own.edit_exercise, name="edit-exercise"),
    path("exercises/<slug:key>/retire/", views_own.retire_exercise, name="retire-exercise"),
    path(
        "exercises/<slug:key>/bring-back/",
        views_own.bring_back_exercise,
        name="bring-back-exercise",
    ),
    path("ladders/", views.ladders, name="ladders"),
    path("sources/", views.sources, name="sources"),
    path("guide/", views.guide, name="guide"),
]
