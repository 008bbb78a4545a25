from django.urls import URLPattern, path

from clients.views import (
    account,
    first_run,
    intake,
    intake_account,
    intake_limits,
    settings,
    sign_in,
)

app_name = "clients"

urlpatterns: list[URLPattern] = [
    # Coming in and going out
    path("", sign_in.home, name="home"),
    path("first-run/", first_run.first_run, name="first-run"),
    path("first-run/<str:token>/", first_run.first_run, name="first-run-by-token"),
    path("sign-in/", sign_in.sign_in, name="sign-in"),
    path("sign-out/", sign_in.sign_out, name="sign-out"),
    path("link/<str:token>/", sign_in.link, name="link"),
    # The coach's account
    path("account/", account.account, name="account"),
    path("account/save/", account.save_account, name="save-account"),
    path("account/password/", account.change_password, name="change-password"),
    # How the tool reads for a coach
    path("settings/", settings.settings, name="settings"),
    path("settings/save/", settings.save_settings, name="save-settings"),
    # Intake
    path("clients/new/", intake.add_client, name="add-client"),
    path("clients/<int:client_id>/intake/", intake.intake, name="intake"),
    path("clients/<int:client_id>/intake/person/", intake.save_person, name="save-person"),
    path("clients/<int:client_id>/intake/screening/", intake.save_screening, name="save-screening"),
    path("clients/<int:client_id>/intake/equipment/", intake.save_equipment, name="save-equipment"),
    path(
        "clients/<int:client_id>/intake/limits/",
        intake_limits.add_joint_limit,
        name="add-joint-limit",
    ),
    path("joint-limits/<int:limit_id>/end/", intake_limits.end_limit, name="end-limit"),
    path("joint-limits/<int:limit_id>/reopen/", intake_limits.reopen_limit, name="reopen-limit"),
    path(
        "clients/<int:client_id>/intake/account/",
        intake_account.save_address,
        name="save-address",
    ),
    path("clients/<int:client_id>/intake/link/", intake_account.make_link, name="make-link"),
    path("clients/<int:client_id>/archive/", intake_account.archive_client, name="archive-client"),
    path("clients/<int:client_id>/restore/", intake_account.restore_client, name="restore-client"),
]
