"""the journal"""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "bean",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("roaster", sa.String(length=120), nullable=False),
        sa.Column("origin", sa.String(length=120), nullable=False),
        sa.Column("process", sa.String(length=120), nullable=False),
        sa.Column("robusta_pct", sa.Double(), nullable=False),
        sa.Column("decaf", sa.Boolean(), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_bean_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_bean_name_filled")
        ),
        sa.CheckConstraint(
            "robusta_pct BETWEEN 0.0 AND 100.0", name=op.f("ck_bean_robusta_pct_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bean")),
    )
    with op.batch_alter_table("bean", schema=None) as batch_op:
        batch_op.create_index("ix_bean_name_id", ["name", "id"], unique=False)

    op.create_table(
        "brewer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("kind", sa.String(length=20), nullable=False),
        sa.Column("capacity_g", sa.Double(), nullable=True),
        sa.Column("capacity_dose_g", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "kind IN ('pressed immersion', 'immersion', 'cone', 'flat bed', 'other')",
            name=op.f("ck_brewer_kind_word"),
        ),
        sa.CheckConstraint(
            "capacity_dose_g BETWEEN 0.1 AND 2000.0", name=op.f("ck_brewer_capacity_dose_g_range")
        ),
        sa.CheckConstraint(
            "capacity_g BETWEEN 10.0 AND 40000.0", name=op.f("ck_brewer_capacity_g_range")
        ),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_brewer_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_brewer_name_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_brewer")),
    )
    op.create_table(
        "filter_pack",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("material", sa.String(length=10), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("bought_on", sa.Date(), nullable=True),
        sa.Column("price_minor", sa.Integer(), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("mass_g", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "material IN ('paper', 'cloth', 'metal')", name=op.f("ck_filter_pack_material_word")
        ),
        sa.CheckConstraint("count BETWEEN 1 AND 10000", name=op.f("ck_filter_pack_count_range")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_filter_pack_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120",
            name=op.f("ck_filter_pack_name_filled"),
        ),
        sa.CheckConstraint(
            "mass_g BETWEEN 0.01 AND 500.0", name=op.f("ck_filter_pack_mass_g_range")
        ),
        sa.CheckConstraint(
            "price_minor BETWEEN 0 AND 1000000000", name=op.f("ck_filter_pack_price_minor_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_filter_pack")),
    )
    op.create_table(
        "grinder",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("scale", sa.String(length=120), nullable=False),
        sa.Column("um_per_step", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_grinder_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_grinder_name_filled")
        ),
        sa.CheckConstraint(
            "um_per_step BETWEEN 0.01 AND 1000.0", name=op.f("ck_grinder_um_per_step_range")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_grinder")),
    )
    op.create_table(
        "recipe",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_recipe_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_recipe_name_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recipe")),
    )
    op.create_table(
        "taster",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_taster_name_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_taster")),
    )
    op.create_table(
        "water",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("hardness_mg_l", sa.Double(), nullable=True),
        sa.Column("alkalinity_mg_l", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "alkalinity_mg_l BETWEEN 0.0 AND 5000.0", name=op.f("ck_water_alkalinity_mg_l_range")
        ),
        sa.CheckConstraint(
            "hardness_mg_l BETWEEN 0.0 AND 5000.0", name=op.f("ck_water_hardness_mg_l_range")
        ),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_water_note_length")),
        sa.CheckConstraint(
            "length(trim(name)) >= 1 AND length(name) <= 120", name=op.f("ck_water_name_filled")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_water")),
    )
    op.create_table(
        "bag",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bean_id", sa.Integer(), nullable=False),
        sa.Column("roasted_on", sa.Date(), nullable=True),
        sa.Column("opened_on", sa.Date(), nullable=True),
        sa.Column("finished_on", sa.Date(), nullable=True),
        sa.Column("net_g", sa.Double(), nullable=True),
        sa.Column("price_minor", sa.Integer(), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("finished_on >= opened_on", name=op.f("ck_bag_finished_after_opened")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_bag_currency_code")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_bag_note_length")),
        sa.CheckConstraint("net_g BETWEEN 1.0 AND 100000.0", name=op.f("ck_bag_net_g_range")),
        sa.CheckConstraint(
            "price_minor BETWEEN 0 AND 1000000000", name=op.f("ck_bag_price_minor_range")
        ),
        sa.ForeignKeyConstraint(["bean_id"], ["bean.id"], name=op.f("fk_bag_bean_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bag")),
    )
    with op.batch_alter_table("bag", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bag_bean_id"), ["bean_id"], unique=False)
        batch_op.create_index("ix_bag_finished_on_id", ["finished_on", "id"], unique=False)

    op.create_table(
        "filter",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("pack_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("prior_uses", sa.Integer(), nullable=False),
        sa.Column("rinse", sa.String(length=4), nullable=False),
        sa.Column("retired_on", sa.Date(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.CheckConstraint("rinse IN ('none', 'cold', 'hot')", name=op.f("ck_filter_rinse_word")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_filter_note_length")),
        sa.CheckConstraint(
            "prior_uses BETWEEN 0 AND 100000", name=op.f("ck_filter_prior_uses_range")
        ),
        sa.ForeignKeyConstraint(["pack_id"], ["filter_pack.id"], name=op.f("fk_filter_pack_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_filter")),
        sa.UniqueConstraint("pack_id", "number", name=op.f("uq_filter_pack_id_number")),
    )
    with op.batch_alter_table("filter", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_filter_retired_on"), ["retired_on"], unique=False)

    op.create_table(
        "recipe_revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("recipe_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("why", sa.String(length=300), nullable=False),
        sa.Column("brewer_id", sa.Integer(), nullable=True),
        sa.Column("dose_g", sa.Double(), nullable=False),
        sa.Column("water_g", sa.Double(), nullable=False),
        sa.Column("bypass_g", sa.Double(), nullable=False),
        sa.Column("ice_g", sa.Double(), nullable=False),
        sa.Column("grind", sa.String(length=13), nullable=False),
        sa.Column("water_temp_c", sa.Double(), nullable=True),
        sa.Column("steep_s", sa.Integer(), nullable=True),
        sa.Column("press_s", sa.Integer(), nullable=True),
        sa.Column("stirs", sa.Integer(), nullable=True),
        sa.Column("flipped", sa.Boolean(), nullable=False),
        sa.CheckConstraint(
            "grind IN ('fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse')",
            name=op.f("ck_recipe_revision_grind_word"),
        ),
        sa.CheckConstraint(
            "bypass_g BETWEEN 0.0 AND 40000.0", name=op.f("ck_recipe_revision_bypass_g_range")
        ),
        sa.CheckConstraint(
            "dose_g BETWEEN 0.1 AND 2000.0", name=op.f("ck_recipe_revision_dose_g_range")
        ),
        sa.CheckConstraint(
            "ice_g BETWEEN 0.0 AND 40000.0", name=op.f("ck_recipe_revision_ice_g_range")
        ),
        sa.CheckConstraint("length(why) <= 300", name=op.f("ck_recipe_revision_why_length")),
        sa.CheckConstraint(
            "press_s BETWEEN 0 AND 3600", name=op.f("ck_recipe_revision_press_s_range")
        ),
        sa.CheckConstraint(
            "steep_s BETWEEN 0 AND 172800", name=op.f("ck_recipe_revision_steep_s_range")
        ),
        sa.CheckConstraint("stirs BETWEEN 0 AND 1000", name=op.f("ck_recipe_revision_stirs_range")),
        sa.CheckConstraint(
            "water_g BETWEEN 1.0 AND 40000.0", name=op.f("ck_recipe_revision_water_g_range")
        ),
        sa.CheckConstraint(
            "water_temp_c BETWEEN 0.0 AND 100.0", name=op.f("ck_recipe_revision_water_temp_c_range")
        ),
        sa.ForeignKeyConstraint(
            ["brewer_id"], ["brewer.id"], name=op.f("fk_recipe_revision_brewer_id")
        ),
        sa.ForeignKeyConstraint(
            ["recipe_id"], ["recipe.id"], name=op.f("fk_recipe_revision_recipe_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recipe_revision")),
        sa.UniqueConstraint(
            "recipe_id", "number", name=op.f("uq_recipe_revision_recipe_id_number")
        ),
    )
    with op.batch_alter_table("recipe_revision", schema=None) as batch_op:
        batch_op.create_index(
            batch_op.f("ix_recipe_revision_brewer_id"), ["brewer_id"], unique=False
        )

    op.create_table(
        "bag_correction",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bag_id", sa.Integer(), nullable=False),
        sa.Column("noted_on", sa.Date(), nullable=False),
        sa.Column("grams", sa.Double(), nullable=False),
        sa.Column("why", sa.String(length=120), nullable=False),
        sa.CheckConstraint(
            "grams BETWEEN -100000.0 AND 100000.0", name=op.f("ck_bag_correction_grams_range")
        ),
        sa.CheckConstraint(
            "length(trim(why)) >= 1 AND length(why) <= 120",
            name=op.f("ck_bag_correction_why_filled"),
        ),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name=op.f("fk_bag_correction_bag_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bag_correction")),
    )
    with op.batch_alter_table("bag_correction", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_bag_correction_bag_id"), ["bag_id"], unique=False)

    op.create_table(
        "brew",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_key", sa.String(length=36), nullable=False),
        sa.Column("brewed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.String(length=60), nullable=False),
        sa.Column("brewed_on", sa.Date(), nullable=False),
        sa.Column("bag_id", sa.Integer(), nullable=False),
        sa.Column("brewer_id", sa.Integer(), nullable=False),
        sa.Column("grinder_id", sa.Integer(), nullable=True),
        sa.Column("water_id", sa.Integer(), nullable=True),
        sa.Column("revision_id", sa.Integer(), nullable=True),
        sa.Column("grind", sa.String(length=13), nullable=False),
        sa.Column("grind_setting", sa.String(length=20), nullable=False),
        sa.Column("dose_g", sa.Double(), nullable=False),
        sa.Column("water_g", sa.Double(), nullable=False),
        sa.Column("bypass_g", sa.Double(), nullable=False),
        sa.Column("ice_g", sa.Double(), nullable=False),
        sa.Column("water_temp_c", sa.Double(), nullable=True),
        sa.Column("steep_s", sa.Integer(), nullable=True),
        sa.Column("press_s", sa.Integer(), nullable=True),
        sa.Column("press_effort", sa.Integer(), nullable=True),
        sa.Column("flipped", sa.Boolean(), nullable=False),
        sa.Column("stirs", sa.Integer(), nullable=True),
        sa.Column("beverage_g", sa.Double(), nullable=True),
        sa.Column("tds_pct", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("note_search", sa.Text(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "grind IN ('fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse')",
            name=op.f("ck_brew_grind_word"),
        ),
        sa.CheckConstraint(
            "beverage_g BETWEEN 1.0 AND 40000.0", name=op.f("ck_brew_beverage_g_range")
        ),
        sa.CheckConstraint("bypass_g BETWEEN 0.0 AND 40000.0", name=op.f("ck_brew_bypass_g_range")),
        sa.CheckConstraint("dose_g BETWEEN 0.1 AND 2000.0", name=op.f("ck_brew_dose_g_range")),
        sa.CheckConstraint("ice_g BETWEEN 0.0 AND 40000.0", name=op.f("ck_brew_ice_g_range")),
        sa.CheckConstraint(
            "length(grind_setting) <= 20", name=op.f("ck_brew_grind_setting_length")
        ),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_brew_note_length")),
        sa.CheckConstraint("press_effort BETWEEN 1 AND 5", name=op.f("ck_brew_press_effort_range")),
        sa.CheckConstraint("press_s BETWEEN 0 AND 3600", name=op.f("ck_brew_press_s_range")),
        sa.CheckConstraint("steep_s BETWEEN 0 AND 172800", name=op.f("ck_brew_steep_s_range")),
        sa.CheckConstraint("stirs BETWEEN 0 AND 1000", name=op.f("ck_brew_stirs_range")),
        sa.CheckConstraint("tds_pct BETWEEN 0.01 AND 30.0", name=op.f("ck_brew_tds_pct_range")),
        sa.CheckConstraint("water_g BETWEEN 1.0 AND 40000.0", name=op.f("ck_brew_water_g_range")),
        sa.CheckConstraint(
            "water_temp_c BETWEEN 0.0 AND 100.0", name=op.f("ck_brew_water_temp_c_range")
        ),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name=op.f("fk_brew_bag_id")),
        sa.ForeignKeyConstraint(["brewer_id"], ["brewer.id"], name=op.f("fk_brew_brewer_id")),
        sa.ForeignKeyConstraint(["grinder_id"], ["grinder.id"], name=op.f("fk_brew_grinder_id")),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["recipe_revision.id"], name=op.f("fk_brew_revision_id")
        ),
        sa.ForeignKeyConstraint(["water_id"], ["water.id"], name=op.f("fk_brew_water_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_brew")),
        sa.UniqueConstraint("entry_key", name=op.f("uq_brew_entry_key")),
        sa.UniqueConstraint("id", "brewed_at", name=op.f("uq_brew_id_brewed_at")),
    )
    with op.batch_alter_table("brew", schema=None) as batch_op:
        batch_op.create_index(
            "ix_brew_bag_id_brewed_at", ["bag_id", "brewed_at", "id"], unique=False
        )
        batch_op.create_index(
            "ix_brew_binned_at",
            ["binned_at"],
            unique=False,
            sqlite_where=sa.text("binned_at IS NOT NULL"),
        )
        batch_op.create_index("ix_brew_brewed_at_id", ["brewed_at", "id"], unique=False)
        batch_op.create_index("ix_brew_brewed_on", ["brewed_on"], unique=False)
        batch_op.create_index(batch_op.f("ix_brew_brewer_id"), ["brewer_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_brew_grinder_id"), ["grinder_id"], unique=False)
        batch_op.create_index(
            "ix_brew_measured",
            ["brewed_at"],
            unique=False,
            sqlite_where=sa.text("tds_pct IS NOT NULL"),
        )
        batch_op.create_index(
            "ix_brew_revision_id_brewed_at", ["revision_id", "brewed_at", "id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_brew_water_id"), ["water_id"], unique=False)

    op.create_table(
        "frozen_span",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("bag_id", sa.Integer(), nullable=False),
        sa.Column("from_on", sa.Date(), nullable=False),
        sa.Column("to_on", sa.Date(), nullable=True),
        sa.CheckConstraint("to_on >= from_on", name=op.f("ck_frozen_span_to_after_from")),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name=op.f("fk_frozen_span_bag_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_frozen_span")),
    )
    with op.batch_alter_table("frozen_span", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_frozen_span_bag_id"), ["bag_id"], unique=False)

    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=6), nullable=False),
        sa.Column("starts_s", sa.Integer(), nullable=True),
        sa.Column("lasts_s", sa.Integer(), nullable=True),
        sa.Column("grams", sa.Double(), nullable=True),
        sa.Column("note", sa.String(length=300), nullable=False),
        sa.CheckConstraint(
            "kind IN ('bloom', 'pour', 'stir', 'steep', 'press', 'dilute', 'ice')",
            name=op.f("ck_step_kind_word"),
        ),
        sa.CheckConstraint("grams BETWEEN 0.0 AND 40000.0", name=op.f("ck_step_grams_range")),
        sa.CheckConstraint("lasts_s BETWEEN 0 AND 172800", name=op.f("ck_step_lasts_s_range")),
        sa.CheckConstraint("length(note) <= 300", name=op.f("ck_step_note_length")),
        sa.CheckConstraint("starts_s BETWEEN 0 AND 172800", name=op.f("ck_step_starts_s_range")),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["recipe_revision.id"], name=op.f("fk_step_revision_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
        sa.UniqueConstraint("revision_id", "position", name=op.f("uq_step_revision_id_position")),
    )
    op.create_table(
        "brew_photo",
        sa.Column("brew_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("alt", sa.String(length=120), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_brew_photo_brew_id")),
        sa.PrimaryKeyConstraint("brew_id", name=op.f("pk_brew_photo")),
    )
    op.create_table(
        "filter_use",
        sa.Column("brew_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("position", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("brewed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("filter_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("position BETWEEN 1 AND 3", name=op.f("ck_filter_use_position_range")),
        sa.ForeignKeyConstraint(
            ["brew_id", "brewed_at"],
            ["brew.id", "brew.brewed_at"],
            name=op.f("fk_filter_use_brew_id_brewed_at"),
            onupdate="CASCADE",
        ),
        sa.ForeignKeyConstraint(["filter_id"], ["filter.id"], name=op.f("fk_filter_use_filter_id")),
        sa.PrimaryKeyConstraint("brew_id", "position", name=op.f("pk_filter_use")),
        sa.UniqueConstraint("brew_id", "filter_id", name=op.f("uq_filter_use_brew_id_filter_id")),
    )
    with op.batch_alter_table("filter_use", schema=None) as batch_op:
        batch_op.create_index(
            "ix_filter_use_filter_id_brewed_at", ["filter_id", "brewed_at", "brew_id"], unique=False
        )

    op.create_table(
        "side_by_side",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("brew_a_id", sa.Integer(), nullable=False),
        sa.Column("brew_b_id", sa.Integer(), nullable=False),
        sa.Column("saved_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("preference", sa.String(length=7), nullable=True),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "preference IN ('a', 'b', 'neither')", name=op.f("ck_side_by_side_preference_word")
        ),
        sa.CheckConstraint("brew_a_id <> brew_b_id", name=op.f("ck_side_by_side_two_brews")),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_side_by_side_note_length")),
        sa.ForeignKeyConstraint(["brew_a_id"], ["brew.id"], name=op.f("fk_side_by_side_brew_a_id")),
        sa.ForeignKeyConstraint(["brew_b_id"], ["brew.id"], name=op.f("fk_side_by_side_brew_b_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_side_by_side")),
    )
    with op.batch_alter_table("side_by_side", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_side_by_side_brew_a_id"), ["brew_a_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_side_by_side_brew_b_id"), ["brew_b_id"], unique=False)
        batch_op.create_index("ix_side_by_side_saved_at_id", ["saved_at", "id"], unique=False)

    op.create_table(
        "tasting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_key", sa.String(length=36), nullable=False),
        sa.Column("brew_id", sa.Integer(), nullable=False),
        sa.Column("taster_id", sa.Integer(), nullable=False),
        sa.Column("tasted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("zone", sa.String(length=60), nullable=False),
        sa.Column("blind", sa.Boolean(), nullable=False),
        sa.Column("liking", sa.Integer(), nullable=True),
        sa.Column("jar_strength", sa.Integer(), nullable=True),
        sa.Column("jar_sweetness", sa.Integer(), nullable=True),
        sa.Column("jar_acidity", sa.Integer(), nullable=True),
        sa.Column("jar_bitterness", sa.Integer(), nullable=True),
        sa.Column("jar_body", sa.Integer(), nullable=True),
        sa.Column("jar_clarity", sa.Integer(), nullable=True),
        sa.Column("words", sa.String(length=300), nullable=False),
        sa.Column("note", sa.String(length=4000), nullable=False),
        sa.Column("text_search", sa.Text(), nullable=False),
        sa.Column("binned_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "jar_acidity BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_acidity_range")
        ),
        sa.CheckConstraint(
            "jar_bitterness BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_bitterness_range")
        ),
        sa.CheckConstraint("jar_body BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_body_range")),
        sa.CheckConstraint(
            "jar_clarity BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_clarity_range")
        ),
        sa.CheckConstraint(
            "jar_strength BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_strength_range")
        ),
        sa.CheckConstraint(
            "jar_sweetness BETWEEN 1 AND 5", name=op.f("ck_tasting_jar_sweetness_range")
        ),
        sa.CheckConstraint("length(note) <= 4000", name=op.f("ck_tasting_note_length")),
        sa.CheckConstraint("length(words) <= 300", name=op.f("ck_tasting_words_length")),
        sa.CheckConstraint("liking BETWEEN 1 AND 9", name=op.f("ck_tasting_liking_range")),
        sa.ForeignKeyConstraint(["brew_id"], ["brew.id"], name=op.f("fk_tasting_brew_id")),
        sa.ForeignKeyConstraint(["taster_id"], ["taster.id"], name=op.f("fk_tasting_taster_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_tasting")),
        sa.UniqueConstraint("entry_key", name=op.f("uq_tasting_entry_key")),
    )
    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.create_index("ix_tasting_brew_id_id", ["brew_id", "id"], unique=False)
        batch_op.create_index("ix_tasting_tasted_at_id", ["tasted_at", "id"], unique=False)
        batch_op.create_index(batch_op.f("ix_tasting_taster_id"), ["taster_id"], unique=False)


def downgrade() -> None:

    with op.batch_alter_table("tasting", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_tasting_taster_id"))
        batch_op.drop_index("ix_tasting_tasted_at_id")
        batch_op.drop_index("ix_tasting_brew_id_id")

    op.drop_table("tasting")
    with op.batch_alter_table("side_by_side", schema=None) as batch_op:
        batch_op.drop_index("ix_side_by_side_saved_at_id")
        batch_op.drop_index(batch_op.f("ix_side_by_side_brew_b_id"))
        batch_op.drop_index(batch_op.f("ix_side_by_side_brew_a_id"))

    op.drop_table("side_by_side")
    with op.batch_alter_table("filter_use", schema=None) as batch_op:
        batch_op.drop_index("ix_filter_use_filter_id_brewed_at")

    op.drop_table("filter_use")
    op.drop_table("brew_photo")
    op.drop_table("step")
    with op.batch_alter_table("frozen_span", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_frozen_span_bag_id"))

    op.drop_table("frozen_span")
    with op.batch_alter_table("brew", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_brew_water_id"))
        batch_op.drop_index("ix_brew_revision_id_brewed_at")
        batch_op.drop_index("ix_brew_measured", sqlite_where=sa.text("tds_pct IS NOT NULL"))
        batch_op.drop_index(batch_op.f("ix_brew_grinder_id"))
        batch_op.drop_index(batch_op.f("ix_brew_brewer_id"))
        batch_op.drop_index("ix_brew_brewed_on")
        batch_op.drop_index("ix_brew_brewed_at_id")
        batch_op.drop_index("ix_brew_binned_at", sqlite_where=sa.text("binned_at IS NOT NULL"))
        batch_op.drop_index("ix_brew_bag_id_brewed_at")

    op.drop_table("brew")
    with op.batch_alter_table("bag_correction", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_bag_correction_bag_id"))

    op.drop_table("bag_correction")
    with op.batch_alter_table("recipe_revision", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_recipe_revision_brewer_id"))

    op.drop_table("recipe_revision")
    with op.batch_alter_table("filter", schema=None) as batch_op:
        batch_op.drop_index(batch_op.f("ix_filter_retired_on"))

    op.drop_table("filter")
    with op.batch_alter_table("bag", schema=None) as batch_op:
        batch_op.drop_index("ix_bag_finished_on_id")
        batch_op.drop_index(batch_op.f("ix_bag_bean_id"))

    op.drop_table("bag")
    op.drop_table("water")
    op.drop_table("taster")
    op.drop_table("recipe")
    op.drop_table("grinder")
    op.drop_table("filter_pack")
    op.drop_table("brewer")
    with op.batch_alter_table("bean", schema=None) as batch_op:
        batch_op.drop_index("ix_bean_name_id")

    op.drop_table("bean")
