from django.urls import URLPattern, path

from coaching.blocks import roster
from coaching.blocks.views import block, blocks, limits, new_block, versions

app_name = "blocks"

urlpatterns: list[URLPattern] = [
    # roster/
    path("roster/", roster.roster, name="roster"),
    # blocks/
    path("blocks/", blocks.blocks, name="blocks"),
    # blocks/<block>/
    path("blocks/<int:block_id>/", block.block, name="block"),
    path("blocks/<int:block_id>/publish/", block.publish_block, name="publish-block"),
    path("blocks/<int:block_id>/discard/", block.discard_draft, name="discard-draft"),
    path("blocks/<int:block_id>/versions/", versions.versions, name="versions"),
    # blocks/<block>/exercises/<exercise>/
    path(
        "blocks/<int:block_id>/exercises/<int:exercise_id>/replace/",
        limits.replace_exercise,
        name="replace-exercise",
    ),
    path(
        "blocks/<int:block_id>/exercises/<int:exercise_id>/keep/",
        limits.keep_exercise,
        name="keep-exercise",
    ),
    # joint-limit-overrides/<override>/
    path(
        "joint-limit-overrides/<int:override_id>/withdraw/",
        limits.withdraw_override,
        name="withdraw-override",
    ),
    # prescriptions/<prescription>/
    path("prescriptions/<uuid:uid>/change/", block.change_prescription, name="change-prescription"),
    path("prescriptions/<uuid:uid>/swap/", block.swap_exercise, name="swap-exercise"),
    path("prescriptions/<uuid:uid>/override/", block.override_limit, name="override-limit"),
    # block-versions/<version>/
    path("block-versions/<int:version_id>/undo/", block.undo_version, name="undo-version"),
    path("block-versions/<int:version_id>/go-back/", versions.go_back, name="go-back"),
    # kept-edits/<kept>/
    path("kept-edits/<int:kept_id>/put-on-top/", versions.put_on_top, name="put-on-top"),
    path("kept-edits/<int:kept_id>/use-instead/", versions.use_instead, name="use-instead"),
    path("kept-edits/<int:kept_id>/let-go/", versions.let_go, name="let-go"),
    # clients/<client>/blocks/new/
    path("clients/<int:client_id>/blocks/new/", new_block.new_block, name="new-block"),
]
