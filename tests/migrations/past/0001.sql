BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE bag (
	id INTEGER NOT NULL, 
	bean_id INTEGER NOT NULL, 
	roasted_on DATE, 
	opened_on DATE, 
	finished_on DATE, 
	net_g DOUBLE, 
	price_minor INTEGER, 
	currency VARCHAR(3) NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_bag PRIMARY KEY (id), 
	CONSTRAINT ck_bag_finished_after_opened CHECK (finished_on >= opened_on), 
	CONSTRAINT ck_bag_currency_code CHECK (length(currency) = 3), 
	CONSTRAINT ck_bag_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_bag_net_g_range CHECK (net_g BETWEEN 1.0 AND 100000.0), 
	CONSTRAINT ck_bag_price_minor_range CHECK (price_minor BETWEEN 0 AND 1000000000), 
	CONSTRAINT fk_bag_bean_id FOREIGN KEY(bean_id) REFERENCES bean (id)
);
INSERT INTO "bag" VALUES(1,1,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL);
CREATE TABLE bag_correction (
	id INTEGER NOT NULL, 
	bag_id INTEGER NOT NULL, 
	noted_on DATE NOT NULL, 
	grams DOUBLE NOT NULL, 
	why VARCHAR(120) NOT NULL, 
	CONSTRAINT pk_bag_correction PRIMARY KEY (id), 
	CONSTRAINT ck_bag_correction_grams_range CHECK (grams BETWEEN -100000.0 AND 100000.0), 
	CONSTRAINT ck_bag_correction_why_filled CHECK (length(trim(why)) >= 1 AND length(why) <= 120), 
	CONSTRAINT fk_bag_correction_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id)
);
INSERT INTO "bag_correction" VALUES(1,1,'2026-01-05',-3.25,'Spilled');
CREATE TABLE bean (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	roaster VARCHAR(120) NOT NULL, 
	origin VARCHAR(120) NOT NULL, 
	process VARCHAR(120) NOT NULL, 
	robusta_pct DOUBLE NOT NULL, 
	decaf BOOLEAN NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_bean PRIMARY KEY (id), 
	CONSTRAINT ck_bean_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_bean_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT ck_bean_robusta_pct_range CHECK (robusta_pct BETWEEN 0.0 AND 100.0)
);
INSERT INTO "bean" VALUES(1,'Šípek & <Rose>','Lantern Yard','','',0.0,0,'It''s ''quoted''
over lines',NULL);
CREATE TABLE brew (
	id INTEGER NOT NULL, 
	entry_key VARCHAR(36) NOT NULL, 
	brewed_at DATETIME NOT NULL, 
	zone VARCHAR(60) NOT NULL, 
	brewed_on DATE NOT NULL, 
	bag_id INTEGER NOT NULL, 
	brewer_id INTEGER NOT NULL, 
	grinder_id INTEGER, 
	water_id INTEGER, 
	revision_id INTEGER, 
	grind VARCHAR(13) NOT NULL, 
	grind_setting VARCHAR(20) NOT NULL, 
	dose_g DOUBLE NOT NULL, 
	water_g DOUBLE NOT NULL, 
	bypass_g DOUBLE NOT NULL, 
	ice_g DOUBLE NOT NULL, 
	water_temp_c DOUBLE, 
	steep_s INTEGER, 
	press_s INTEGER, 
	press_effort INTEGER, 
	flipped BOOLEAN NOT NULL, 
	stirs INTEGER, 
	beverage_g DOUBLE, 
	tds_pct DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	note_search TEXT NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_brew PRIMARY KEY (id), 
	CONSTRAINT ck_brew_grind_word CHECK (grind IN ('fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse')), 
	CONSTRAINT ck_brew_beverage_g_range CHECK (beverage_g BETWEEN 1.0 AND 40000.0), 
	CONSTRAINT ck_brew_bypass_g_range CHECK (bypass_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_brew_dose_g_range CHECK (dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_brew_ice_g_range CHECK (ice_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_brew_grind_setting_length CHECK (length(grind_setting) <= 20), 
	CONSTRAINT ck_brew_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_brew_press_effort_range CHECK (press_effort BETWEEN 1 AND 5), 
	CONSTRAINT ck_brew_press_s_range CHECK (press_s BETWEEN 0 AND 3600), 
	CONSTRAINT ck_brew_steep_s_range CHECK (steep_s BETWEEN 0 AND 172800), 
	CONSTRAINT ck_brew_stirs_range CHECK (stirs BETWEEN 0 AND 1000), 
	CONSTRAINT ck_brew_tds_pct_range CHECK (tds_pct BETWEEN 0.01 AND 30.0), 
	CONSTRAINT ck_brew_water_g_range CHECK (water_g BETWEEN 1.0 AND 40000.0), 
	CONSTRAINT ck_brew_water_temp_c_range CHECK (water_temp_c BETWEEN 0.0 AND 100.0), 
	CONSTRAINT fk_brew_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id), 
	CONSTRAINT fk_brew_brewer_id FOREIGN KEY(brewer_id) REFERENCES brewer (id), 
	CONSTRAINT fk_brew_grinder_id FOREIGN KEY(grinder_id) REFERENCES grinder (id), 
	CONSTRAINT fk_brew_revision_id FOREIGN KEY(revision_id) REFERENCES recipe_revision (id), 
	CONSTRAINT fk_brew_water_id FOREIGN KEY(water_id) REFERENCES water (id), 
	CONSTRAINT uq_brew_entry_key UNIQUE (entry_key), 
	CONSTRAINT uq_brew_id_brewed_at UNIQUE (id, brewed_at)
);
INSERT INTO "brew" VALUES(1,'00000000-0000-0000-0000-000000000001','2026-01-05 07:30:00.000000','Pacific/Chatham','2026-01-05',1,1,NULL,NULL,1,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','','2026-01-05 07:30:00.000000');
INSERT INTO "brew" VALUES(2,'00000000-0000-0000-0000-000000000002','2026-01-06 07:30:00.000000','UTC','2026-01-06',1,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,150,NULL,NULL,0,NULL,NULL,1.31,'Ünïcode ☕','unicode ☕',NULL);
CREATE TABLE brew_photo (
	brew_id INTEGER NOT NULL, 
	alt VARCHAR(120) NOT NULL, 
	jpeg BLOB NOT NULL, 
	CONSTRAINT pk_brew_photo PRIMARY KEY (brew_id), 
	CONSTRAINT fk_brew_photo_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id)
);
INSERT INTO "brew_photo" VALUES(2,'',X'FFD800276E6F74207265616C6C7920612070696374757265');
CREATE TABLE brewer (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	capacity_g DOUBLE, 
	capacity_dose_g DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_brewer PRIMARY KEY (id), 
	CONSTRAINT ck_brewer_kind_word CHECK (kind IN ('pressed immersion', 'immersion', 'cone', 'flat bed', 'other')), 
	CONSTRAINT ck_brewer_capacity_dose_g_range CHECK (capacity_dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_brewer_capacity_g_range CHECK (capacity_g BETWEEN 10.0 AND 40000.0), 
	CONSTRAINT ck_brewer_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_brewer_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120)
);
INSERT INTO "brewer" VALUES(1,'Blue press','pressed immersion',NULL,NULL,'',NULL);
CREATE TABLE filter (
	id INTEGER NOT NULL, 
	pack_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	prior_uses INTEGER NOT NULL, 
	rinse VARCHAR(4) NOT NULL, 
	retired_on DATE, 
	note VARCHAR(4000) NOT NULL, 
	CONSTRAINT pk_filter PRIMARY KEY (id), 
	CONSTRAINT ck_filter_rinse_word CHECK (rinse IN ('none', 'cold', 'hot')), 
	CONSTRAINT ck_filter_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_filter_prior_uses_range CHECK (prior_uses BETWEEN 0 AND 100000), 
	CONSTRAINT fk_filter_pack_id FOREIGN KEY(pack_id) REFERENCES filter_pack (id), 
	CONSTRAINT uq_filter_pack_id_number UNIQUE (pack_id, number)
);
INSERT INTO "filter" VALUES(1,1,1,0,'none',NULL,'');
INSERT INTO "filter" VALUES(2,1,2,2,'none',NULL,'');
CREATE TABLE filter_pack (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	material VARCHAR(10) NOT NULL, 
	count INTEGER NOT NULL, 
	bought_on DATE, 
	price_minor INTEGER, 
	currency VARCHAR(3) NOT NULL, 
	mass_g DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_filter_pack PRIMARY KEY (id), 
	CONSTRAINT ck_filter_pack_material_word CHECK (material IN ('paper', 'cloth', 'metal')), 
	CONSTRAINT ck_filter_pack_count_range CHECK (count BETWEEN 1 AND 10000), 
	CONSTRAINT ck_filter_pack_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_filter_pack_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT ck_filter_pack_mass_g_range CHECK (mass_g BETWEEN 0.01 AND 500.0), 
	CONSTRAINT ck_filter_pack_price_minor_range CHECK (price_minor BETWEEN 0 AND 1000000000)
);
INSERT INTO "filter_pack" VALUES(1,'White round','paper',100,NULL,NULL,'EUR',NULL,'',NULL);
CREATE TABLE filter_use (
	brew_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	brewed_at DATETIME NOT NULL, 
	filter_id INTEGER NOT NULL, 
	CONSTRAINT pk_filter_use PRIMARY KEY (brew_id, position), 
	CONSTRAINT ck_filter_use_position_range CHECK (position BETWEEN 1 AND 3), 
	CONSTRAINT fk_filter_use_brew_id_brewed_at FOREIGN KEY(brew_id, brewed_at) REFERENCES brew (id, brewed_at) ON UPDATE CASCADE, 
	CONSTRAINT fk_filter_use_filter_id FOREIGN KEY(filter_id) REFERENCES filter (id), 
	CONSTRAINT uq_filter_use_brew_id_filter_id UNIQUE (brew_id, filter_id)
);
INSERT INTO "filter_use" VALUES(1,1,'2026-01-05 07:30:00.000000',1);
INSERT INTO "filter_use" VALUES(1,2,'2026-01-05 07:30:00.000000',2);
INSERT INTO "filter_use" VALUES(2,1,'2026-01-06 07:30:00.000000',1);
CREATE TABLE frozen_span (
	id INTEGER NOT NULL, 
	bag_id INTEGER NOT NULL, 
	from_on DATE NOT NULL, 
	to_on DATE, 
	CONSTRAINT pk_frozen_span PRIMARY KEY (id), 
	CONSTRAINT ck_frozen_span_to_after_from CHECK (to_on >= from_on), 
	CONSTRAINT fk_frozen_span_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id)
);
INSERT INTO "frozen_span" VALUES(1,1,'2026-09-15','2026-09-16');
CREATE TABLE grinder (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	scale VARCHAR(120) NOT NULL, 
	um_per_step DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_grinder PRIMARY KEY (id), 
	CONSTRAINT ck_grinder_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_grinder_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT ck_grinder_um_per_step_range CHECK (um_per_step BETWEEN 0.01 AND 1000.0)
);
INSERT INTO "grinder" VALUES(1,'Hand mill','clicks from zero',12.5,'',NULL);
CREATE TABLE recipe (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_recipe PRIMARY KEY (id), 
	CONSTRAINT ck_recipe_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_recipe_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120)
);
INSERT INTO "recipe" VALUES(1,'House cup','',NULL);
CREATE TABLE recipe_revision (
	id INTEGER NOT NULL, 
	recipe_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	made_at DATETIME NOT NULL, 
	why VARCHAR(300) NOT NULL, 
	brewer_id INTEGER, 
	dose_g DOUBLE NOT NULL, 
	water_g DOUBLE NOT NULL, 
	bypass_g DOUBLE NOT NULL, 
	ice_g DOUBLE NOT NULL, 
	grind VARCHAR(13) NOT NULL, 
	water_temp_c DOUBLE, 
	steep_s INTEGER, 
	press_s INTEGER, 
	stirs INTEGER, 
	flipped BOOLEAN NOT NULL, 
	CONSTRAINT pk_recipe_revision PRIMARY KEY (id), 
	CONSTRAINT ck_recipe_revision_grind_word CHECK (grind IN ('fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse')), 
	CONSTRAINT ck_recipe_revision_bypass_g_range CHECK (bypass_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_dose_g_range CHECK (dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_recipe_revision_ice_g_range CHECK (ice_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_why_length CHECK (length(why) <= 300), 
	CONSTRAINT ck_recipe_revision_press_s_range CHECK (press_s BETWEEN 0 AND 3600), 
	CONSTRAINT ck_recipe_revision_steep_s_range CHECK (steep_s BETWEEN 0 AND 172800), 
	CONSTRAINT ck_recipe_revision_stirs_range CHECK (stirs BETWEEN 0 AND 1000), 
	CONSTRAINT ck_recipe_revision_water_g_range CHECK (water_g BETWEEN 1.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_water_temp_c_range CHECK (water_temp_c BETWEEN 0.0 AND 100.0), 
	CONSTRAINT fk_recipe_revision_brewer_id FOREIGN KEY(brewer_id) REFERENCES brewer (id), 
	CONSTRAINT fk_recipe_revision_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipe (id), 
	CONSTRAINT uq_recipe_revision_recipe_id_number UNIQUE (recipe_id, number)
);
INSERT INTO "recipe_revision" VALUES(1,1,1,'2026-01-05 07:30:00.000000','',NULL,14.0,220.0,0.0,0.0,'medium',NULL,NULL,NULL,NULL,0);
INSERT INTO "recipe_revision" VALUES(2,1,2,'2026-01-05 07:30:00.000000','Finer',NULL,14.0,220.0,0.0,0.0,'medium',NULL,NULL,NULL,NULL,0);
CREATE TABLE side_by_side (
	id INTEGER NOT NULL, 
	brew_a_id INTEGER NOT NULL, 
	brew_b_id INTEGER NOT NULL, 
	saved_at DATETIME NOT NULL, 
	preference VARCHAR(7), 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_side_by_side PRIMARY KEY (id), 
	CONSTRAINT ck_side_by_side_preference_word CHECK (preference IN ('a', 'b', 'neither')), 
	CONSTRAINT ck_side_by_side_two_brews CHECK (brew_a_id <> brew_b_id), 
	CONSTRAINT ck_side_by_side_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT fk_side_by_side_brew_a_id FOREIGN KEY(brew_a_id) REFERENCES brew (id), 
	CONSTRAINT fk_side_by_side_brew_b_id FOREIGN KEY(brew_b_id) REFERENCES brew (id)
);
INSERT INTO "side_by_side" VALUES(1,2,1,'2026-01-05 07:30:00.000000','a','The first',NULL);
CREATE TABLE step (
	id INTEGER NOT NULL, 
	revision_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	kind VARCHAR(6) NOT NULL, 
	starts_s INTEGER, 
	lasts_s INTEGER, 
	grams DOUBLE, 
	note VARCHAR(300) NOT NULL, 
	CONSTRAINT pk_step PRIMARY KEY (id), 
	CONSTRAINT ck_step_kind_word CHECK (kind IN ('bloom', 'pour', 'stir', 'steep', 'press', 'dilute', 'ice')), 
	CONSTRAINT ck_step_grams_range CHECK (grams BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_step_lasts_s_range CHECK (lasts_s BETWEEN 0 AND 172800), 
	CONSTRAINT ck_step_note_length CHECK (length(note) <= 300), 
	CONSTRAINT ck_step_starts_s_range CHECK (starts_s BETWEEN 0 AND 172800), 
	CONSTRAINT fk_step_revision_id FOREIGN KEY(revision_id) REFERENCES recipe_revision (id), 
	CONSTRAINT uq_step_revision_id_position UNIQUE (revision_id, position)
);
INSERT INTO "step" VALUES(1,1,1,'pour',0,NULL,200.0,'');
CREATE TABLE taster (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT ck_taster_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120)
);
INSERT INTO "taster" VALUES(1,'Juniper',NULL);
CREATE TABLE tasting (
	id INTEGER NOT NULL, 
	entry_key VARCHAR(36) NOT NULL, 
	brew_id INTEGER NOT NULL, 
	taster_id INTEGER NOT NULL, 
	tasted_at DATETIME NOT NULL, 
	zone VARCHAR(60) NOT NULL, 
	blind BOOLEAN NOT NULL, 
	liking INTEGER, 
	jar_strength INTEGER, 
	jar_sweetness INTEGER, 
	jar_acidity INTEGER, 
	jar_bitterness INTEGER, 
	jar_body INTEGER, 
	jar_clarity INTEGER, 
	words VARCHAR(300) NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	text_search TEXT NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_tasting PRIMARY KEY (id), 
	CONSTRAINT ck_tasting_jar_acidity_range CHECK (jar_acidity BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_bitterness_range CHECK (jar_bitterness BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_body_range CHECK (jar_body BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_clarity_range CHECK (jar_clarity BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_strength_range CHECK (jar_strength BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_sweetness_range CHECK (jar_sweetness BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_tasting_words_length CHECK (length(words) <= 300), 
	CONSTRAINT ck_tasting_liking_range CHECK (liking BETWEEN 1 AND 9), 
	CONSTRAINT fk_tasting_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_tasting_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_tasting_entry_key UNIQUE (entry_key)
);
INSERT INTO "tasting" VALUES(1,'00000000-0000-0000-0000-000000000003',2,1,'2026-01-06 07:30:00.000000','UTC',1,7,NULL,NULL,NULL,NULL,4,NULL,'plum, tea','','plum, tea ',NULL);
CREATE TABLE water (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	hardness_mg_l DOUBLE, 
	alkalinity_mg_l DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_water PRIMARY KEY (id), 
	CONSTRAINT ck_water_alkalinity_mg_l_range CHECK (alkalinity_mg_l BETWEEN 0.0 AND 5000.0), 
	CONSTRAINT ck_water_hardness_mg_l_range CHECK (hardness_mg_l BETWEEN 0.0 AND 5000.0), 
	CONSTRAINT ck_water_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_water_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120)
);
INSERT INTO "water" VALUES(1,'Kitchen tap',71.4,NULL,'',NULL);
CREATE INDEX ix_bean_name_id ON bean (name, id);
CREATE INDEX ix_bag_bean_id ON bag (bean_id);
CREATE INDEX ix_bag_finished_on_id ON bag (finished_on, id);
CREATE INDEX ix_filter_retired_on ON filter (retired_on);
CREATE INDEX ix_recipe_revision_brewer_id ON recipe_revision (brewer_id);
CREATE INDEX ix_bag_correction_bag_id ON bag_correction (bag_id);
CREATE INDEX ix_brew_bag_id_brewed_at ON brew (bag_id, brewed_at, id);
CREATE INDEX ix_brew_binned_at ON brew (binned_at) WHERE binned_at IS NOT NULL;
CREATE INDEX ix_brew_brewed_at_id ON brew (brewed_at, id);
CREATE INDEX ix_brew_brewed_on ON brew (brewed_on);
CREATE INDEX ix_brew_brewer_id ON brew (brewer_id);
CREATE INDEX ix_brew_grinder_id ON brew (grinder_id);
CREATE INDEX ix_brew_measured ON brew (brewed_at) WHERE tds_pct IS NOT NULL;
CREATE INDEX ix_brew_revision_id_brewed_at ON brew (revision_id, brewed_at, id);
CREATE INDEX ix_brew_water_id ON brew (water_id);
CREATE INDEX ix_frozen_span_bag_id ON frozen_span (bag_id);
CREATE INDEX ix_filter_use_filter_id_brewed_at ON filter_use (filter_id, brewed_at, brew_id);
CREATE INDEX ix_side_by_side_brew_a_id ON side_by_side (brew_a_id);
CREATE INDEX ix_side_by_side_brew_b_id ON side_by_side (brew_b_id);
CREATE INDEX ix_side_by_side_saved_at_id ON side_by_side (saved_at, id);
CREATE INDEX ix_tasting_brew_id_id ON tasting (brew_id, id);
CREATE INDEX ix_tasting_tasted_at_id ON tasting (tasted_at, id);
CREATE INDEX ix_tasting_taster_id ON tasting (taster_id);
COMMIT;
