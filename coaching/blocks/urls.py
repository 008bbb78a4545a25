from django.urls import URLPattern

app_name = "blocks"

urlpatterns: list[URLPattern] = []
