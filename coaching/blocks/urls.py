from django.urls import URLPattern, path

from coaching.blocks import roster
from coaching.blocks.views import (
    apply,
    block,
    block_edits,
    block_panels,
    blocks,
    equipment,
    limits,
    new_block,
    templates,
    versions,
)

app_name = "blocks"

urlpatterns: list[URLPattern] = [
    # roster/
    path("roster/", roster.roster, name="roster"),
    # blocks/
    path("blocks/", blocks.blocks, name="blocks"),
    # blocks/templates/
    path("blocks/templates/", templates.templates, name="templates"),
    path(
        "blocks/templates/<int:template_id>/change/",
        templates.change_template,
        name="change-template",
    ),
    path(
        "blocks/templates/<int:template_id>/remove/",
        templates.remove_own_template,
        name="remove-template",
    ),
    path(
        "blocks/templates/<int:template_id>/bring-back/",
        templates.bring_back_own_template,
        name="bring-back-template",
    ),
    path("blocks/templates/<int:template_id>/apply/", apply.apply_template, name="apply-template"),
    # clients/<client>/
    path(
        "clients/<int:client_id>/equipment-needed/",
        equipment.equipment_needed,
        name="equipment-needed",
    ),
    # blocks/<block>/
    path(
        "blocks/<int:block_id>/save-as-template/",
        templates.save_as_template,
        name="save-as-template",
    ),
    path("blocks/<int:block_id>/copy/", apply.copy_block, name="copy-block"),
    path("blocks/<int:block_id>/", block.block, name="block"),
    path("blocks/<int:block_id>/pains/", block.pains, name="block-pains"),
    path("blocks/<int:block_id>/publish/", block.publish_block, name="publish-block"),
    path("blocks/<int:block_id>/discard/", block.discard_draft, name="discard-draft"),
    path("blocks/<int:block_id>/edit/", block_edits.edit, name="edit-block"),
    path("blocks/<int:block_id>/findings/", block.findings, name="block-findings"),
    path("blocks/<int:block_id>/undo/", block_edits.undo, name="undo-edit"),
    path("blocks/<int:block_id>/redo/", block_edits.redo, name="redo-edit"),
    path("blocks/<int:block_id>/let-go/", block_edits.let_go, name="discard-changes"),
    # blocks/<block>/lines/<line>/
    path("blocks/<int:block_id>/lines/<str:uid>/", block_panels.edit_line, name="edit-line"),
    path("blocks/<int:block_id>/lines/<str:uid>/swap/", block_panels.swap_line, name="swap-line"),
    path(
        "blocks/<int:block_id>/lines/<str:uid>/override/",
        block_edits.override_line,
        name="override-line",
    ),
    # blocks/<block>/sessions/<session>/
    path(
        "blocks/<int:block_id>/sessions/<str:uid>/", block_panels.edit_session, name="edit-session"
    ),
    path("blocks/<int:block_id>/sessions/<str:uid>/add/", block_panels.add_line, name="add-line"),
    # blocks/<block>/weeks/<week>/
    path("blocks/<int:block_id>/weeks/<str:starts_on>/", block_panels.edit_week, name="edit-week"),
    path(
        "blocks/<int:block_id>/weeks/<str:starts_on>/add/",
        block_panels.add_session,
        name="add-session",
    ),
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
    path("block-versions/<int:version_id>/go-back/", versions.go_back, name="go-back"),
    # kept-edits/<kept>/
    path("kept-edits/<int:kept_id>/put-on-top/", versions.put_on_top, name="put-on-top"),
    path("kept-edits/<int:kept_id>/use-instead/", versions.use_instead, name="use-instead"),
    path("kept-edits/<int:kept_id>/let-go/", versions.let_go, name="let-go"),
    # clients/<client>/blocks/new/
    path("clients/<int:client_id>/blocks/new/", new_block.new_block, name="new-block"),
]
