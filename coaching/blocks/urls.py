from django.urls import URLPattern, path

from coaching.blocks import roster
from coaching.blocks.views import block, blocks, new_block

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
    # prescriptions/<prescription>/
    path("prescriptions/<uuid:uid>/change/", block.change_prescription, name="change-prescription"),
    path("prescriptions/<uuid:uid>/swap/", block.swap_exercise, name="swap-exercise"),
    path("prescriptions/<uuid:uid>/override/", block.override_limit, name="override-limit"),
    # block-versions/<version>/
    path("block-versions/<int:version_id>/undo/", block.undo_version, name="undo-version"),
    # clients/<client>/blocks/new/
    path("clients/<int:client_id>/blocks/new/", new_block.new_block, name="new-block"),
]
