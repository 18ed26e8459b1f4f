BEGIN TRANSACTION;
CREATE TABLE afterthought (
	id INTEGER NOT NULL, 
	noted_at DATETIME NOT NULL, 
	preference VARCHAR(7), 
	note VARCHAR(4000) NOT NULL, 
	CONSTRAINT pk_afterthought PRIMARY KEY (id), 
	CONSTRAINT ck_afterthought_preference_word CHECK (preference IN ('a', 'b', 'neither')), 
	CONSTRAINT ck_afterthought_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT fk_afterthought_id FOREIGN KEY(id) REFERENCES trial (id)
);
INSERT INTO "afterthought" VALUES(1,'2026-09-15 12:00:00.000000','b','The ‘odd’ one
was rounder');
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0027');
CREATE TABLE api_token (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	secret_hash VARCHAR(64) NOT NULL, 
	may_read BOOLEAN NOT NULL, 
	may_log_brews BOOLEAN NOT NULL, 
	may_log_tastings BOOLEAN NOT NULL, 
	may_read_tests BOOLEAN NOT NULL, 
	from_network BOOLEAN NOT NULL, 
	made_at DATETIME NOT NULL, 
	expires_at DATETIME, 
	revoked_at DATETIME, 
	last_used_at DATETIME, 
	CONSTRAINT pk_api_token PRIMARY KEY (id), 
	CONSTRAINT ck_api_token_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT uq_api_token_secret_hash UNIQUE (secret_hash)
);
INSERT INTO "api_token" VALUES(1,'Scale','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa',0,1,0,0,0,'2026-09-15 12:00:00.000000','2026-09-16 12:00:00.000000',NULL,'2026-09-15 12:00:00.000000');
CREATE TABLE ask (
	text VARCHAR(1000) NOT NULL, 
	asked_on DATE NOT NULL, 
	source VARCHAR(120) NOT NULL, 
	noted_at DATETIME NOT NULL, 
	question_id INTEGER, 
	id INTEGER NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_ask PRIMARY KEY (id), 
	CONSTRAINT ck_ask_text_length CHECK (length(text) <= 1000), 
	CONSTRAINT ck_ask_source_length CHECK (length(source) <= 120), 
	CONSTRAINT ck_ask_in_words CHECK (question_id IS NOT NULL OR length(trim(text)) >= 1), 
	CONSTRAINT fk_ask_question_id FOREIGN KEY(question_id) REFERENCES question (id)
);
INSERT INTO "ask" VALUES('Doppelt gefiltert – “besser”?','2026-09-15','A letter, p. 2','2026-09-15 12:00:00.000000',NULL,1,NULL);
INSERT INTO "ask" VALUES('','2026-09-15','','2026-09-15 12:00:00.000000',3,2,NULL);
INSERT INTO "ask" VALUES('Is <b>one</b> sheet enough?','2026-09-15','','2026-09-15 12:00:00.000000',NULL,3,'2026-09-15 12:00:00.000000');
CREATE TABLE "bag" (
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
	buy_again VARCHAR(6) NOT NULL, 
	buy_again_note VARCHAR(4000) NOT NULL, 
	CONSTRAINT pk_bag PRIMARY KEY (id), 
	CONSTRAINT ck_bag_buy_again_note_length CHECK (length(buy_again_note) <= 4000), 
	CONSTRAINT ck_bag_buy_again_word CHECK (buy_again IN ('', 'yes', 'unsure', 'no')), 
	CONSTRAINT ck_bag_currency_code CHECK (length(currency) = 3), 
	CONSTRAINT ck_bag_finished_after_opened CHECK (finished_on >= opened_on), 
	CONSTRAINT ck_bag_net_g_range CHECK (net_g BETWEEN 1.0 AND 100000.0), 
	CONSTRAINT ck_bag_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_bag_price_minor_range CHECK (price_minor BETWEEN 0 AND 1000000000), 
	CONSTRAINT fk_bag_bean_id FOREIGN KEY(bean_id) REFERENCES bean (id)
);
INSERT INTO "bag" VALUES(1,1,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL,'','');
INSERT INTO "bag" VALUES(2,2,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL,'','');
INSERT INTO "bag" VALUES(3,3,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL,'','');
INSERT INTO "bag" VALUES(4,4,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL,'','');
INSERT INTO "bag" VALUES(5,6,NULL,NULL,NULL,250.0,NULL,'EUR','',NULL,'','');
CREATE TABLE bag_correction (
	id INTEGER NOT NULL, 
	bag_id INTEGER NOT NULL, 
	noted_on DATE NOT NULL, 
	grams DOUBLE NOT NULL, 
	why VARCHAR(120) NOT NULL, binned_at DATETIME, 
	CONSTRAINT pk_bag_correction PRIMARY KEY (id), 
	CONSTRAINT ck_bag_correction_grams_range CHECK (grams BETWEEN -100000.0 AND 100000.0), 
	CONSTRAINT ck_bag_correction_why_filled CHECK (length(trim(why)) >= 1 AND length(why) <= 120), 
	CONSTRAINT fk_bag_correction_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id)
);
INSERT INTO "bag_correction" VALUES(1,1,'2026-01-05',-3.25,'Spilled',NULL);
INSERT INTO "bag_correction" VALUES(2,3,'2026-01-05',4.5,'Spilled','2026-09-15 12:00:00.000000');
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
INSERT INTO "bean" VALUES(2,'Morning Hill','Lantern Yard','','',0.0,0,'',NULL);
INSERT INTO "bean" VALUES(3,'Morning Hill','Lantern Yard','','',0.0,0,'',NULL);
INSERT INTO "bean" VALUES(4,'Morning Hill','Lantern Yard','','',0.0,0,'',NULL);
INSERT INTO "bean" VALUES(5,'Came in','Lantern Yard','','',0.0,0,'',NULL);
INSERT INTO "bean" VALUES(6,'Morning Hill','Lantern Yard','','',0.0,0,'',NULL);
CREATE TABLE blind_packet (
	id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, 
	code VARCHAR(3) NOT NULL, 
	cup VARCHAR(1) NOT NULL, 
	packed_at DATETIME NOT NULL, 
	packed_by VARCHAR(64) NOT NULL, 
	packed_from VARCHAR(45) NOT NULL, 
	covered_at DATETIME, 
	trial_id INTEGER, 
	CONSTRAINT pk_blind_packet PRIMARY KEY (id), 
	CONSTRAINT ck_blind_packet_cup_word CHECK (cup IN ('A', 'B')), 
	CONSTRAINT ck_blind_packet_code_filled CHECK (length(trim(code)) >= 1 AND length(code) <= 3), 
	CONSTRAINT ck_blind_packet_covered_before_use CHECK (trial_id IS NULL OR covered_at IS NOT NULL), 
	CONSTRAINT fk_blind_packet_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id), 
	CONSTRAINT fk_blind_packet_trial_id FOREIGN KEY(trial_id) REFERENCES trial (id), 
	CONSTRAINT uq_blind_packet_trial_id UNIQUE (trial_id)
);
INSERT INTO "blind_packet" VALUES(1,2,'417','A','2026-09-15 12:00:00.000000','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa','','2026-09-15 12:00:00.000000',2);
INSERT INTO "blind_packet" VALUES(2,2,'658','B','2026-09-15 12:00:00.000000','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa','','2026-09-15 12:00:00.000000',NULL);
CREATE TABLE "blind_taster" (
	id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, 
	taster_id INTEGER NOT NULL, 
	joined_at DATETIME NOT NULL, 
	CONSTRAINT pk_blind_taster PRIMARY KEY (id), 
	CONSTRAINT fk_blind_taster_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_blind_taster_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id), 
	CONSTRAINT uq_blind_taster_test_id_taster_id UNIQUE (test_id, taster_id)
);
INSERT INTO "blind_taster" VALUES(1,1,2,'2026-09-15 12:00:00.000000');
INSERT INTO "blind_taster" VALUES(2,1,3,'2026-09-15 12:00:00.000000');
INSERT INTO "blind_taster" VALUES(3,2,4,'2026-09-15 12:00:00.000000');
CREATE TABLE "blind_test" (
	id INTEGER NOT NULL, 
	entry_key VARCHAR(36) NOT NULL, 
	title VARCHAR(120) NOT NULL, 
	made_at DATETIME NOT NULL, 
	a_words VARCHAR(300) NOT NULL, 
	a_brew_id INTEGER, 
	a_revision_id INTEGER, 
	a_filter_id INTEGER, 
	a_filter_use INTEGER, 
	b_words VARCHAR(300) NOT NULL, 
	b_brew_id INTEGER, 
	b_revision_id INTEGER, 
	b_filter_id INTEGER, 
	b_filter_use INTEGER, 
	claim VARCHAR(21) NOT NULL, 
	brewing VARCHAR(21) NOT NULL, 
	method VARCHAR(14) NOT NULL, 
	attribute VARCHAR(120) NOT NULL, 
	more VARCHAR(1), 
	pouring VARCHAR(6) NOT NULL, 
	rule VARCHAR(13) NOT NULL, 
	p_d DOUBLE NOT NULL, 
	fixed_trials INTEGER, 
	alpha DOUBLE, 
	beta DOUBLE, 
	control_in INTEGER NOT NULL, 
	several_tasters BOOLEAN NOT NULL, 
	balanced BOOLEAN NOT NULL, 
	ended VARCHAR(12), 
	stopped_at DATETIME, 
	stopped_why VARCHAR(300) NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	reminder BOOLEAN NOT NULL, 
	controls INTEGER NOT NULL, 
	CONSTRAINT pk_blind_test PRIMARY KEY (id), 
	CONSTRAINT ck_blind_test_a_filter_use_range CHECK (a_filter_use BETWEEN 1 AND 100000), 
	CONSTRAINT ck_blind_test_a_words_filled CHECK (length(trim(a_words)) >= 1 AND length(a_words) <= 300), 
	CONSTRAINT ck_blind_test_alpha_range CHECK (alpha BETWEEN 0.001 AND 0.3), 
	CONSTRAINT ck_blind_test_attribute_length CHECK (length(attribute) <= 120), 
	CONSTRAINT ck_blind_test_b_filter_use_range CHECK (b_filter_use BETWEEN 1 AND 100000), 
	CONSTRAINT ck_blind_test_b_words_filled CHECK (length(trim(b_words)) >= 1 AND length(b_words) <= 300), 
	CONSTRAINT ck_blind_test_balanced_for_several CHECK (NOT balanced OR several_tasters), 
	CONSTRAINT ck_blind_test_beta_range CHECK (beta BETWEEN 0.01 AND 0.5), 
	CONSTRAINT ck_blind_test_brewing_word CHECK (brewing IN ('one pair', 'fresh pair each trial', 'every cup its own')), 
	CONSTRAINT ck_blind_test_claim_holds CHECK (NOT (claim = 'these ways of brewing' AND brewing = 'one pair')), 
	CONSTRAINT ck_blind_test_claim_word CHECK (claim IN ('these cups', 'these ways of brewing')), 
	CONSTRAINT ck_blind_test_control_in_range CHECK (control_in BETWEEN 0 AND 10), 
	CONSTRAINT ck_blind_test_directed_names_attribute CHECK ((method IN ('paired', 'three-cup')) = (attribute <> '') AND (attribute <> '') = (more IS NOT NULL)), 
	CONSTRAINT ck_blind_test_ended_has_time CHECK ((ended IS NULL) = (stopped_at IS NULL)), 
	CONSTRAINT ck_blind_test_ended_word CHECK (ended IN ('shown', 'close enough', 'undecided', 'stopped')), 
	CONSTRAINT ck_blind_test_filter_at_a_use CHECK ((a_filter_id IS NULL) = (a_filter_use IS NULL) AND (b_filter_id IS NULL) = (b_filter_use IS NULL)), 
	CONSTRAINT ck_blind_test_fixed_has_number CHECK ((rule = 'fixed number') = (fixed_trials IS NOT NULL)), 
	CONSTRAINT ck_blind_test_fixed_trials_range CHECK (fixed_trials BETWEEN 6 AND 200), 
	CONSTRAINT ck_blind_test_half_are_controls CHECK (control_in = 0 OR method NOT IN ('A-not-A', 'same-different')), 
	CONSTRAINT ck_blind_test_method_word CHECK (method IN ('triangle', 'tetrad', 'three-cup', 'duo-trio', 'paired', 'A-not-A', 'same-different', 'preference')), 
	CONSTRAINT ck_blind_test_more_word CHECK (more IN ('A', 'B')), 
	CONSTRAINT ck_blind_test_not_only_controls CHECK (control_in <> 1), 
	CONSTRAINT ck_blind_test_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_blind_test_p_d_range CHECK (p_d BETWEEN 0.05 AND 0.95), 
	CONSTRAINT ck_blind_test_pair_unknown CHECK (NOT (method = 'same-different' AND pouring = 'solo')), 
	CONSTRAINT ck_blind_test_pouring_word CHECK (pouring IN ('helper', 'solo', 'coded')), 
	CONSTRAINT ck_blind_test_preference_rule CHECK (method <> 'preference' OR rule <> 'step by step'), 
	CONSTRAINT ck_blind_test_reminder_of_a CHECK (NOT reminder OR method = 'A-not-A'), 
	CONSTRAINT ck_blind_test_rule_word CHECK (rule IN ('every morning', 'fixed number', 'step by step')), 
	CONSTRAINT ck_blind_test_step_by_step_has_risks CHECK ((rule = 'step by step') = (alpha IS NOT NULL) AND (alpha IS NULL) = (beta IS NULL)), 
	CONSTRAINT ck_blind_test_stopped_why_length CHECK (length(stopped_why) <= 300), 
	CONSTRAINT ck_blind_test_title_filled CHECK (length(trim(title)) >= 1 AND length(title) <= 120), 
	CONSTRAINT ck_blind_test_why_when_stopped CHECK (stopped_why = '' OR ended = 'stopped'), 
	CONSTRAINT fk_blind_test_a_brew_id FOREIGN KEY(a_brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_blind_test_a_filter_id FOREIGN KEY(a_filter_id) REFERENCES filter (id), 
	CONSTRAINT fk_blind_test_a_revision_id FOREIGN KEY(a_revision_id) REFERENCES recipe_revision (id), 
	CONSTRAINT fk_blind_test_b_brew_id FOREIGN KEY(b_brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_blind_test_b_filter_id FOREIGN KEY(b_filter_id) REFERENCES filter (id), 
	CONSTRAINT fk_blind_test_b_revision_id FOREIGN KEY(b_revision_id) REFERENCES recipe_revision (id), 
	CONSTRAINT uq_blind_test_entry_key UNIQUE (entry_key), 
	CONSTRAINT ck_blind_test_controls_range CHECK (controls BETWEEN 0 AND 200), 
	CONSTRAINT ck_blind_test_controls_are_counted CHECK (controls = 0 OR (rule = 'fixed number' AND control_in = 0 AND NOT balanced AND method NOT IN ('A-not-A', 'same-different', 'preference')))
);
INSERT INTO "blind_test" VALUES(1,'00000000-0000-4000-8000-000000000001','Used papers','2026-09-15 12:00:00.000000','fresh paper',NULL,NULL,NULL,NULL,'third use',NULL,NULL,NULL,NULL,'these cups','fresh pair each trial','triangle','',NULL,'helper','every morning',0.4,NULL,NULL,NULL,0,0,0,NULL,NULL,'','',NULL,0,0);
INSERT INTO "blind_test" VALUES(2,'00000000-0000-4000-8000-000000000012','A stir','2026-09-15 12:00:00.000000','stirred once',NULL,NULL,NULL,NULL,'not stirred',NULL,NULL,NULL,NULL,'these ways of brewing','every cup its own','A-not-A','',NULL,'coded','every morning',0.3,NULL,NULL,NULL,0,0,0,NULL,NULL,'','',NULL,1,0);
CREATE TABLE blind_test_mark (
	id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, 
	put_back_at DATETIME NOT NULL, 
	CONSTRAINT pk_blind_test_mark PRIMARY KEY (id), 
	CONSTRAINT fk_blind_test_mark_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id), 
	CONSTRAINT uq_blind_test_mark_test_id_put_back_at UNIQUE (test_id, put_back_at)
);
INSERT INTO "blind_test_mark" VALUES(1,1,'2026-09-15 12:00:00.000000');
CREATE TABLE blind_test_use (
	test_id INTEGER NOT NULL, 
	brew_id INTEGER NOT NULL, 
	filter_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	CONSTRAINT pk_blind_test_use PRIMARY KEY (test_id, brew_id, filter_id), 
	CONSTRAINT fk_blind_test_use_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_blind_test_use_filter_id FOREIGN KEY(filter_id) REFERENCES filter (id), 
	CONSTRAINT fk_blind_test_use_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id)
);
INSERT INTO "blind_test_use" VALUES(1,6,3,1);
CREATE TABLE "brew" (
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
	brix DOUBLE, 
	CONSTRAINT pk_brew PRIMARY KEY (id), 
	CONSTRAINT ck_brew_beverage_g_range CHECK (beverage_g BETWEEN 1.0 AND 40000.0), 
	CONSTRAINT ck_brew_brix_is_a_strength CHECK (brix IS NULL OR tds_pct IS NOT NULL), 
	CONSTRAINT ck_brew_brix_range CHECK (brix BETWEEN 0.02 AND 35.0), 
	CONSTRAINT ck_brew_bypass_g_range CHECK (bypass_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_brew_dose_g_range CHECK (dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_brew_grind_setting_length CHECK (length(grind_setting) <= 20), 
	CONSTRAINT ck_brew_ice_g_range CHECK (ice_g BETWEEN 0.0 AND 40000.0), 
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
	CONSTRAINT uq_brew_id_brewed_at UNIQUE (id, brewed_at), 
	CONSTRAINT ck_brew_grind_word CHECK (grind IN ('', 'fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse'))
);
INSERT INTO "brew" VALUES(1,'00000000-0000-0000-0000-000000000001','2026-01-05 07:30:00.000000','Pacific/Chatham','2026-01-05',1,1,NULL,NULL,1,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','','2026-01-05 07:30:00.000000',NULL);
INSERT INTO "brew" VALUES(2,'00000000-0000-0000-0000-000000000002','2026-01-06 07:30:00.000000','UTC','2026-01-06',1,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,150,NULL,NULL,0,NULL,NULL,1.31,'Ünïcode ☕','unicode ☕',NULL,NULL);
INSERT INTO "brew" VALUES(3,'00000000-0000-0000-0000-000000000004','2026-01-07 07:30:00.000000','UTC','2026-01-07',2,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(4,'00000000-0000-0000-0000-000000000005','2026-01-08 07:30:00.000000','UTC','2026-01-08',2,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(5,'00000000-0000-0000-0000-000000000006','2026-01-09 07:30:00.000000','UTC','2026-01-09',2,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(6,'00000000-0000-0000-0000-000000000007','2026-01-10 07:30:00.000000','UTC','2026-01-10',2,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(7,'00000000-0000-0000-0000-000000000008','2026-01-11 07:30:00.000000','UTC','2026-01-11',3,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(8,'00000000-0000-0000-0000-000000000009','2026-01-12 07:30:00.000000','UTC','2026-01-12',4,2,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,1.27,'','',NULL,NULL);
INSERT INTO "brew" VALUES(9,'00000000-0000-0000-0000-00000000000a','2026-01-13 07:30:00.000000','UTC','2026-01-13',4,3,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,187.5,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(10,'00000000-0000-0000-0000-00000000000b','2026-01-14 07:30:00.000000','UTC','2026-01-14',2,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(11,'00000000-0000-0000-0000-00000000000d','2026-01-15 07:30:00.000000','UTC','2026-01-15',2,1,NULL,NULL,NULL,'medium','',13.5,220.0,0.0,0.0,NULL,NULL,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
INSERT INTO "brew" VALUES(12,'00000000-0000-0000-0000-00000000000e','2026-01-16 07:30:00.000000','UTC','2026-01-16',5,1,NULL,NULL,NULL,'medium','',14.0,220.0,0.0,0.0,NULL,115,NULL,NULL,0,NULL,NULL,NULL,'','',NULL,NULL);
CREATE TABLE brew_photo (
	id INTEGER NOT NULL, 
	binned_at DATETIME, 
	brew_id INTEGER NOT NULL, 
	alt VARCHAR(120) NOT NULL, 
	jpeg BLOB NOT NULL, 
	CONSTRAINT pk_brew_photo PRIMARY KEY (id), 
	CONSTRAINT fk_brew_photo_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id)
);
INSERT INTO "brew_photo" VALUES(1,NULL,2,'',X'FFD800276E6F74207265616C6C7920612070696374757265');
INSERT INTO "brew_photo" VALUES(2,'2026-09-15 12:00:00.000000',7,'Before',X'FFD8006E6F742073686F776E');
CREATE TABLE "brewer" (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	capacity_g DOUBLE, 
	capacity_dose_g DOUBLE, 
	note VARCHAR(4000) NOT NULL, 
	binned_at DATETIME, 
	alike_to_id INTEGER, 
	CONSTRAINT pk_brewer PRIMARY KEY (id), 
	CONSTRAINT ck_brewer_capacity_dose_g_range CHECK (capacity_dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_brewer_capacity_g_range CHECK (capacity_g BETWEEN 10.0 AND 40000.0), 
	CONSTRAINT ck_brewer_kind_word CHECK (kind IN ('pressed immersion', 'immersion', 'cone', 'flat bed', 'other')), 
	CONSTRAINT ck_brewer_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT ck_brewer_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT fk_brewer_alike_to_id FOREIGN KEY(alike_to_id) REFERENCES brewer (id), 
	CONSTRAINT ck_brewer_alike_to_an_earlier_one CHECK (alike_to_id < id)
);
INSERT INTO "brewer" VALUES(1,'Blue press','pressed immersion',NULL,NULL,'',NULL,NULL);
INSERT INTO "brewer" VALUES(2,'Left press','pressed immersion',NULL,NULL,'Chipped',NULL,NULL);
INSERT INTO "brewer" VALUES(3,'Right press','pressed immersion',NULL,NULL,'','2026-01-05 07:30:00.000000',2);
CREATE TABLE change (
	id INTEGER NOT NULL, 
	thing VARCHAR(20) NOT NULL, 
	row_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	changed_at DATETIME NOT NULL, 
	device VARCHAR(120) NOT NULL, 
	what VARCHAR(120) NOT NULL, 
	"before" JSON NOT NULL, 
	"after" JSON NOT NULL, 
	CONSTRAINT pk_change PRIMARY KEY (id), 
	CONSTRAINT ck_change_device_length CHECK (length(device) <= 120), 
	CONSTRAINT ck_change_thing_filled CHECK (length(trim(thing)) >= 1 AND length(thing) <= 20), 
	CONSTRAINT ck_change_what_length CHECK (length(what) <= 120), 
	CONSTRAINT ck_change_number_counts CHECK (number >= 1), 
	CONSTRAINT uq_change_thing_row_id_number UNIQUE (thing, row_id, number)
);
INSERT INTO "change" VALUES(1,'brew',1,1,'2026-09-15 12:00:00.000000','','','[{"name": "dose_g", "label": "Dose", "values": ["18.0"], "shown": "", "unit": "g"}]','[{"name": "dose_g", "label": "Dose", "values": ["18.0"], "shown": "", "unit": "g"}]');
CREATE TABLE "device" (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	token_hash VARCHAR(64) NOT NULL, 
	paired_at DATETIME NOT NULL, 
	last_seen_at DATETIME NOT NULL, 
	unpaired_at DATETIME, 
	guest_of_test_id INTEGER, 
	guest_taster_id INTEGER, 
	helper_of_test_id INTEGER, 
	CONSTRAINT pk_device PRIMARY KEY (id), 
	CONSTRAINT ck_device_guest_is_a_taster CHECK ((guest_of_test_id IS NULL) = (guest_taster_id IS NULL)), 
	CONSTRAINT ck_device_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT fk_device_guest_of_test_id_guest_taster_id FOREIGN KEY(guest_of_test_id, guest_taster_id) REFERENCES blind_taster (test_id, taster_id), 
	CONSTRAINT uq_device_token_hash UNIQUE (token_hash), 
	CONSTRAINT fk_device_helper_of_test_id FOREIGN KEY(helper_of_test_id) REFERENCES blind_test (id), 
	CONSTRAINT ck_device_guest_or_helper CHECK (helper_of_test_id IS NULL OR guest_of_test_id IS NULL)
);
INSERT INTO "device" VALUES(1,'Kitchen','cccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccccc','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000',NULL,NULL,NULL,NULL);
INSERT INTO "device" VALUES(2,'Guest','eeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeeee','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000',NULL,1,3,NULL);
INSERT INTO "device" VALUES(3,'Helper','ffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000',NULL,NULL,1);
CREATE TABLE experiment (
	entry_key VARCHAR(36) NOT NULL, 
	planned_at DATETIME NOT NULL, 
	bag_id INTEGER NOT NULL, 
	taster_id INTEGER NOT NULL, 
	like_id INTEGER NOT NULL, 
	revision_id INTEGER, 
	ended_at DATETIME, 
	id INTEGER NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_experiment PRIMARY KEY (id), 
	CONSTRAINT fk_experiment_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id), 
	CONSTRAINT fk_experiment_like_id FOREIGN KEY(like_id) REFERENCES brew (id), 
	CONSTRAINT fk_experiment_revision_id FOREIGN KEY(revision_id) REFERENCES recipe_revision (id), 
	CONSTRAINT fk_experiment_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_experiment_entry_key UNIQUE (entry_key)
);
INSERT INTO "experiment" VALUES('00000000-0000-4000-8000-000000000025','2026-09-15 12:00:00.000000',5,7,12,3,'2026-09-16 12:00:00.000000',1,NULL);
CREATE TABLE experiment_factor (
	experiment_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	field VARCHAR(20) NOT NULL, 
	low DOUBLE NOT NULL, 
	high DOUBLE NOT NULL, 
	CONSTRAINT pk_experiment_factor PRIMARY KEY (experiment_id, place), 
	CONSTRAINT ck_experiment_factor_field_filled CHECK (length(trim(field)) >= 1 AND length(field) <= 20), 
	CONSTRAINT ck_experiment_factor_low_below_high CHECK (low < high), 
	CONSTRAINT ck_experiment_factor_place_range CHECK (place BETWEEN 1 AND 3), 
	CONSTRAINT fk_experiment_factor_experiment_id FOREIGN KEY(experiment_id) REFERENCES experiment (id), 
	CONSTRAINT uq_experiment_factor_experiment_id_field UNIQUE (experiment_id, field)
);
INSERT INTO "experiment_factor" VALUES(1,1,'steep_s',11.5,19.25);
INSERT INTO "experiment_factor" VALUES(1,2,'grind_setting',23.0,38.5);
CREATE TABLE experiment_run (
	id INTEGER NOT NULL, 
	experiment_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	block INTEGER NOT NULL, 
	levels JSON NOT NULL, 
	brew_id INTEGER, 
	skipped_at DATETIME, 
	CONSTRAINT pk_experiment_run PRIMARY KEY (id), 
	CONSTRAINT ck_experiment_run_block_counts CHECK (block >= 1), 
	CONSTRAINT ck_experiment_run_place_counts CHECK (place >= 1), 
	CONSTRAINT fk_experiment_run_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_experiment_run_experiment_id FOREIGN KEY(experiment_id) REFERENCES experiment (id), 
	CONSTRAINT uq_experiment_run_brew_id UNIQUE (brew_id), 
	CONSTRAINT uq_experiment_run_experiment_id_place UNIQUE (experiment_id, place)
);
INSERT INTO "experiment_run" VALUES(1,1,1,1,'[-1, 1]',12,NULL);
INSERT INTO "experiment_run" VALUES(2,1,2,1,'[0, 0]',NULL,'2026-09-15 12:00:00.000000');
INSERT INTO "experiment_run" VALUES(3,1,3,1,'[1, 1]',NULL,NULL);
CREATE TABLE filter (
	id INTEGER NOT NULL, 
	pack_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	prior_uses INTEGER NOT NULL, 
	rinse VARCHAR(4) NOT NULL, 
	retired_on DATE, 
	note VARCHAR(4000) NOT NULL, binned_at DATETIME, 
	CONSTRAINT pk_filter PRIMARY KEY (id), 
	CONSTRAINT ck_filter_rinse_word CHECK (rinse IN ('none', 'cold', 'hot')), 
	CONSTRAINT ck_filter_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_filter_prior_uses_range CHECK (prior_uses BETWEEN 0 AND 100000), 
	CONSTRAINT fk_filter_pack_id FOREIGN KEY(pack_id) REFERENCES filter_pack (id), 
	CONSTRAINT uq_filter_pack_id_number UNIQUE (pack_id, number)
);
INSERT INTO "filter" VALUES(1,1,1,0,'none',NULL,'',NULL);
INSERT INTO "filter" VALUES(2,1,2,2,'none',NULL,'',NULL);
INSERT INTO "filter" VALUES(3,1,3,0,'none',NULL,'',NULL);
INSERT INTO "filter" VALUES(4,2,1,0,'none',NULL,'A crease','2026-09-15 12:00:00.000000');
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
INSERT INTO "filter_pack" VALUES(2,'White round','paper',100,NULL,NULL,'EUR',NULL,'',NULL);
INSERT INTO "filter_pack" VALUES(3,'White round','paper',100,NULL,NULL,'EUR',NULL,'',NULL);
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
INSERT INTO "filter_use" VALUES(6,1,'2026-01-10 07:30:00.000000',3);
CREATE TABLE frozen_span (
	id INTEGER NOT NULL, 
	bag_id INTEGER NOT NULL, 
	from_on DATE NOT NULL, 
	to_on DATE, binned_at DATETIME, 
	CONSTRAINT pk_frozen_span PRIMARY KEY (id), 
	CONSTRAINT ck_frozen_span_to_after_from CHECK (to_on >= from_on), 
	CONSTRAINT fk_frozen_span_bag_id FOREIGN KEY(bag_id) REFERENCES bag (id)
);
INSERT INTO "frozen_span" VALUES(1,1,'2026-09-15','2026-09-16',NULL);
INSERT INTO "frozen_span" VALUES(2,3,'2026-09-15',NULL,'2026-09-15 12:00:00.000000');
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
CREATE TABLE import_link (
	id INTEGER NOT NULL, 
	import_id INTEGER NOT NULL, 
	origin VARCHAR(36) NOT NULL, 
	table_name VARCHAR(60) NOT NULL, 
	their_id INTEGER NOT NULL, 
	our_id INTEGER NOT NULL, 
	CONSTRAINT pk_import_link PRIMARY KEY (id), 
	CONSTRAINT ck_import_link_origin_filled CHECK (length(trim(origin)) >= 1 AND length(origin) <= 36), 
	CONSTRAINT ck_import_link_table_name_filled CHECK (length(trim(table_name)) >= 1 AND length(table_name) <= 60), 
	CONSTRAINT fk_import_link_import_id FOREIGN KEY(import_id) REFERENCES journal_import (id), 
	CONSTRAINT uq_import_link_origin_table_name_their_id UNIQUE (origin, table_name, their_id)
);
INSERT INTO "import_link" VALUES(1,1,'00000000-0000-4000-8000-000000000024','bean',31,5);
CREATE TABLE imported_rows (
	id INTEGER NOT NULL, 
	import_id INTEGER NOT NULL, 
	table_name VARCHAR(60) NOT NULL, 
	columns JSON NOT NULL, 
	keys JSON NOT NULL, 
	digests JSON NOT NULL, 
	"before" JSON, 
	CONSTRAINT pk_imported_rows PRIMARY KEY (id), 
	CONSTRAINT ck_imported_rows_table_name_filled CHECK (length(trim(table_name)) >= 1 AND length(table_name) <= 60), 
	CONSTRAINT fk_imported_rows_import_id FOREIGN KEY(import_id) REFERENCES journal_import (id)
);
INSERT INTO "imported_rows" VALUES(1,1,'bean','["id", "name"]','[[5]]','["0000000000000000"]',NULL);
INSERT INTO "imported_rows" VALUES(2,1,'bean','["id", "name"]','[[1]]','["ffffffffffffffff"]','[[1, "\u0160\u00edpek & <Rose>"]]');
CREATE TABLE journal_identity (
	id INTEGER NOT NULL, 
	uuid VARCHAR(36) NOT NULL, 
	CONSTRAINT pk_journal_identity PRIMARY KEY (id), 
	CONSTRAINT ck_journal_identity_one_row CHECK (id = 1), 
	CONSTRAINT ck_journal_identity_uuid_filled CHECK (length(trim(uuid)) >= 1 AND length(uuid) <= 36)
);
INSERT INTO "journal_identity" VALUES(1,'00000000-0000-4000-8000-000000000001');
CREATE TABLE journal_import (
	id INTEGER NOT NULL, 
	kind VARCHAR(7) NOT NULL, 
	file_name VARCHAR(300) NOT NULL, 
	imported_at DATETIME NOT NULL, 
	device VARCHAR(120) NOT NULL, 
	counts JSON NOT NULL, 
	taken_back_at DATETIME, 
	CONSTRAINT pk_journal_import PRIMARY KEY (id), 
	CONSTRAINT ck_journal_import_kind_word CHECK (kind IN ('package', 'sheet')), 
	CONSTRAINT ck_journal_import_device_length CHECK (length(device) <= 120), 
	CONSTRAINT ck_journal_import_file_name_filled CHECK (length(trim(file_name)) >= 1 AND length(file_name) <= 300)
);
INSERT INTO "journal_import" VALUES(1,'package','‘Küche’.zip','2026-09-15 12:00:00.000000','','{"bean": 1}',NULL);
CREATE TABLE left_trial (
	test_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	taster_id INTEGER NOT NULL, 
	drawn_at DATETIME NOT NULL, 
	served_at DATETIME, 
	answered_at DATETIME, 
	voided_at DATETIME, 
	void_reason VARCHAR(300) NOT NULL, 
	note VARCHAR(4000) NOT NULL, 
	CONSTRAINT pk_left_trial PRIMARY KEY (test_id, number), 
	CONSTRAINT ck_left_trial_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT fk_left_trial_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_left_trial_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id)
);
INSERT INTO "left_trial" VALUES(1,2,1,'2026-09-15 12:00:00.000000',NULL,NULL,'2026-09-15 12:00:00.000000','','');
CREATE TABLE name_change (
	id INTEGER NOT NULL, 
	kind VARCHAR(7) NOT NULL, 
	what VARCHAR(7) NOT NULL, 
	old_name VARCHAR(120) NOT NULL, 
	new_name VARCHAR(120) NOT NULL, 
	from_id INTEGER, 
	into_id INTEGER, 
	moved JSON NOT NULL, 
	followed JSON NOT NULL, 
	changed_at DATETIME NOT NULL, 
	device VARCHAR(120) NOT NULL, 
	taken_back_at DATETIME, 
	CONSTRAINT pk_name_change PRIMARY KEY (id), 
	CONSTRAINT ck_name_change_kind_word CHECK (kind IN ('taster', 'bean', 'roaster')), 
	CONSTRAINT ck_name_change_what_word CHECK (what IN ('renamed', 'merged')), 
	CONSTRAINT ck_name_change_old_name_filled CHECK (length(trim(old_name)) >= 1 AND length(old_name) <= 120), 
	CONSTRAINT ck_name_change_new_name_filled CHECK (length(trim(new_name)) >= 1 AND length(new_name) <= 120), 
	CONSTRAINT ck_name_change_device_length CHECK (length(device) <= 120)
);
INSERT INTO "name_change" VALUES(1,'taster','merged','Rowann','Rowan',6,5,'[1, 2]','[]','2026-09-15 12:00:00.000000','Kitchen',NULL);
CREATE TABLE "pairing_code" (
	id INTEGER NOT NULL, 
	code_hash VARCHAR(64) NOT NULL, 
	made_at DATETIME NOT NULL, 
	expires_at DATETIME NOT NULL, 
	used_at DATETIME, 
	guest_of_test_id INTEGER, 
	guest_taster_id INTEGER, 
	CONSTRAINT pk_pairing_code PRIMARY KEY (id), 
	CONSTRAINT uq_pairing_code_code_hash UNIQUE (code_hash), 
	CONSTRAINT fk_pairing_code_guest_of_test_id_guest_taster_id FOREIGN KEY(guest_of_test_id, guest_taster_id) REFERENCES blind_taster (test_id, taster_id), 
	CONSTRAINT ck_pairing_code_guest_is_a_taster CHECK ((guest_of_test_id IS NULL) = (guest_taster_id IS NULL))
);
INSERT INTO "pairing_code" VALUES(1,'dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd','2026-09-15 12:00:00.000000','2026-09-16 12:00:00.000000',NULL,NULL,NULL);
CREATE TABLE "question" (
	id INTEGER NOT NULL, 
	text VARCHAR(300) NOT NULL, 
	asked_at DATETIME NOT NULL, 
	state VARCHAR(9) NOT NULL, 
	answer VARCHAR(4000) NOT NULL, 
	answered_at DATETIME, 
	binned_at DATETIME, 
	factors JSON NOT NULL, 
	CONSTRAINT pk_question PRIMARY KEY (id), 
	CONSTRAINT ck_question_answer_length CHECK (length(answer) <= 4000), 
	CONSTRAINT ck_question_answered_has_time CHECK ((state = 'answered') = (answered_at IS NOT NULL)), 
	CONSTRAINT ck_question_answered_in_words CHECK (state <> 'answered' OR length(trim(answer)) >= 1), 
	CONSTRAINT ck_question_state_word CHECK (state IN ('open', 'answered', 'set aside')), 
	CONSTRAINT ck_question_text_filled CHECK (length(trim(text)) >= 1 AND length(text) <= 300)
);
INSERT INTO "question" VALUES(1,'Does a third use taste different?','2026-09-15 12:00:00.000000','open','',NULL,NULL,'[]');
INSERT INTO "question" VALUES(2,'Does it taste of the jug?','2026-09-15 12:00:00.000000','open','',NULL,NULL,'[]');
INSERT INTO "question" VALUES(3,'Two sheets or one?','2026-09-15 12:00:00.000000','open','',NULL,NULL,'["filter", "use of the filter"]');
INSERT INTO "question" VALUES(4,'Is ‘one stir’ enough?','2026-09-15 12:00:00.000000','open','',NULL,NULL,'[]');
INSERT INTO "question" VALUES(5,'Is a used paper worse?','2026-09-15 12:00:00.000000','open','',NULL,NULL,'[]');
CREATE TABLE question_blind_test (
	question_id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, tied_at DATETIME, 
	CONSTRAINT pk_question_blind_test PRIMARY KEY (question_id, test_id), 
	CONSTRAINT fk_question_blind_test_question_id FOREIGN KEY(question_id) REFERENCES question (id), 
	CONSTRAINT fk_question_blind_test_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id)
);
INSERT INTO "question_blind_test" VALUES(1,1,'2026-09-15 12:00:00.000000');
CREATE TABLE question_brew (
	question_id INTEGER NOT NULL, 
	brew_id INTEGER NOT NULL, 
	CONSTRAINT pk_question_brew PRIMARY KEY (question_id, brew_id), 
	CONSTRAINT fk_question_brew_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_question_brew_question_id FOREIGN KEY(question_id) REFERENCES question (id)
);
INSERT INTO "question_brew" VALUES(1,3);
CREATE TABLE question_groups (
	id INTEGER NOT NULL, 
	question_id INTEGER NOT NULL, 
	"query" VARCHAR(1000) NOT NULL, 
	words VARCHAR(4000) NOT NULL, 
	said VARCHAR(4000) NOT NULL, 
	tied_at DATETIME NOT NULL, 
	CONSTRAINT pk_question_groups PRIMARY KEY (id), 
	CONSTRAINT ck_question_groups_said_length CHECK (length(said) <= 4000), 
	CONSTRAINT ck_question_groups_query_filled CHECK (length(trim(query)) >= 1 AND length(query) <= 1000), 
	CONSTRAINT ck_question_groups_words_filled CHECK (length(trim(words)) >= 1 AND length(words) <= 4000), 
	CONSTRAINT fk_question_groups_question_id FOREIGN KEY(question_id) REFERENCES question (id), 
	CONSTRAINT uq_question_groups_question_id_query UNIQUE (question_id, "query")
);
INSERT INTO "question_groups" VALUES(1,5,'a-use_to=1&a-material=paper&b-use_from=2','1st use, “paper” filter against 2nd use and later','Nell, sighted: A was liked 0.5 more than B; B''s range is −0.2 to +1.2.','2026-09-15 12:00:00.000000');
CREATE TABLE question_left_test (
	question_id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, 
	tied_at DATETIME, 
	CONSTRAINT pk_question_left_test PRIMARY KEY (question_id, test_id), 
	CONSTRAINT fk_question_left_test_question_id FOREIGN KEY(question_id) REFERENCES question (id), 
	CONSTRAINT fk_question_left_test_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id)
);
INSERT INTO "question_left_test" VALUES(2,1,'2026-09-15 12:00:00.000000');
CREATE TABLE question_side_by_side (
	question_id INTEGER NOT NULL, 
	side_by_side_id INTEGER NOT NULL, 
	CONSTRAINT pk_question_side_by_side PRIMARY KEY (question_id, side_by_side_id), 
	CONSTRAINT fk_question_side_by_side_question_id FOREIGN KEY(question_id) REFERENCES question (id), 
	CONSTRAINT fk_question_side_by_side_side_by_side_id FOREIGN KEY(side_by_side_id) REFERENCES side_by_side (id)
);
INSERT INTO "question_side_by_side" VALUES(1,2);
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
INSERT INTO "recipe" VALUES(2,'House cup','',NULL);
CREATE TABLE "recipe_revision" (
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
	CONSTRAINT ck_recipe_revision_bypass_g_range CHECK (bypass_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_dose_g_range CHECK (dose_g BETWEEN 0.1 AND 2000.0), 
	CONSTRAINT ck_recipe_revision_ice_g_range CHECK (ice_g BETWEEN 0.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_press_s_range CHECK (press_s BETWEEN 0 AND 3600), 
	CONSTRAINT ck_recipe_revision_steep_s_range CHECK (steep_s BETWEEN 0 AND 172800), 
	CONSTRAINT ck_recipe_revision_stirs_range CHECK (stirs BETWEEN 0 AND 1000), 
	CONSTRAINT ck_recipe_revision_water_g_range CHECK (water_g BETWEEN 1.0 AND 40000.0), 
	CONSTRAINT ck_recipe_revision_water_temp_c_range CHECK (water_temp_c BETWEEN 0.0 AND 100.0), 
	CONSTRAINT ck_recipe_revision_why_length CHECK (length(why) <= 300), 
	CONSTRAINT fk_recipe_revision_brewer_id FOREIGN KEY(brewer_id) REFERENCES brewer (id), 
	CONSTRAINT fk_recipe_revision_recipe_id FOREIGN KEY(recipe_id) REFERENCES recipe (id), 
	CONSTRAINT uq_recipe_revision_recipe_id_number UNIQUE (recipe_id, number), 
	CONSTRAINT ck_recipe_revision_grind_word CHECK (grind IN ('', 'fine', 'medium-fine', 'medium', 'medium-coarse', 'coarse'))
);
INSERT INTO "recipe_revision" VALUES(1,1,1,'2026-01-05 07:30:00.000000','',NULL,14.0,220.0,0.0,0.0,'medium',NULL,NULL,NULL,NULL,0);
INSERT INTO "recipe_revision" VALUES(2,1,2,'2026-01-05 07:30:00.000000','Finer',NULL,14.0,220.0,0.0,0.0,'medium',NULL,NULL,NULL,NULL,0);
INSERT INTO "recipe_revision" VALUES(3,2,1,'2026-01-05 07:30:00.000000','',NULL,14.0,220.0,0.0,0.0,'medium',NULL,NULL,NULL,NULL,0);
CREATE TABLE saved_form (
	"key" VARCHAR(36) NOT NULL, 
	content VARCHAR(64) NOT NULL, 
	address VARCHAR(300) NOT NULL, 
	change_address VARCHAR(300) NOT NULL, 
	saved_at DATETIME NOT NULL, 
	CONSTRAINT pk_saved_form PRIMARY KEY ("key"), 
	CONSTRAINT ck_saved_form_address_length CHECK (length(address) <= 300), 
	CONSTRAINT ck_saved_form_change_address_length CHECK (length(change_address) <= 300), 
	CONSTRAINT ck_saved_form_content_length CHECK (length(content) <= 64)
);
INSERT INTO "saved_form" VALUES('k','0','/brews/1','','2026-09-15 12:00:00.000000');
CREATE TABLE "settings" (
	id INTEGER NOT NULL, 
	locale VARCHAR(20) NOT NULL, 
	currency VARCHAR(3) NOT NULL, 
	mass_unit VARCHAR(2) NOT NULL, 
	volume_unit VARCHAR(14) NOT NULL, 
	temp_unit VARCHAR(2) NOT NULL, 
	kettle_efficiency_pct DOUBLE NOT NULL, 
	caffeine BOOLEAN NOT NULL, 
	caffeine_limit VARCHAR(22) NOT NULL, 
	first_steps BOOLEAN NOT NULL, 
	CONSTRAINT pk_settings PRIMARY KEY (id), 
	CONSTRAINT ck_settings_caffeine_limit_word CHECK (caffeine_limit IN ('adult', 'pregnancy or lactation')), 
	CONSTRAINT ck_settings_currency_code CHECK (length(currency) = 3), 
	CONSTRAINT ck_settings_kettle_efficiency_pct_range CHECK (kettle_efficiency_pct BETWEEN 10.0 AND 100.0), 
	CONSTRAINT ck_settings_mass_unit_word CHECK (mass_unit IN ('g', 'oz')), 
	CONSTRAINT ck_settings_one_row CHECK (id = 1), 
	CONSTRAINT ck_settings_temp_unit_word CHECK (temp_unit IN ('°C', '°F')), 
	CONSTRAINT ck_settings_volume_unit_word CHECK (volume_unit IN ('ml', 'US fl oz', 'imperial fl oz'))
);
INSERT INTO "settings" VALUES(1,'de','EUR','g','ml','°F',81.5,0,'adult',1);
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
INSERT INTO "side_by_side" VALUES(2,3,4,'2026-01-08 07:30:00.000000',NULL,'',NULL);
CREATE TABLE sitting (
	entry_key VARCHAR(36) NOT NULL, 
	planned_at DATETIME NOT NULL, 
	ended_at DATETIME, 
	id INTEGER NOT NULL, 
	binned_at DATETIME, 
	CONSTRAINT pk_sitting PRIMARY KEY (id), 
	CONSTRAINT uq_sitting_entry_key UNIQUE (entry_key)
);
INSERT INTO "sitting" VALUES('00000000-0000-4000-8000-000000000021','2026-09-15 12:00:00.000000','2026-09-16 12:00:00.000000',1,NULL);
CREATE TABLE sitting_brew (
	line_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	letter VARCHAR(1), 
	brew_id INTEGER, 
	made_at DATETIME, 
	CONSTRAINT pk_sitting_brew PRIMARY KEY (line_id, place), 
	CONSTRAINT ck_sitting_brew_letter_word CHECK (letter IN ('A', 'B')), 
	CONSTRAINT ck_sitting_brew_made_has_time CHECK ((brew_id IS NULL) = (made_at IS NULL)), 
	CONSTRAINT ck_sitting_brew_by_lot_is_not_told CHECK (letter IS NOT NULL OR brew_id IS NULL), 
	CONSTRAINT ck_sitting_brew_place_range CHECK (place BETWEEN 1 AND 2), 
	CONSTRAINT fk_sitting_brew_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_sitting_brew_line_id FOREIGN KEY(line_id) REFERENCES sitting_line (id)
);
INSERT INTO "sitting_brew" VALUES(1,1,'A',11,'2026-09-15 12:00:00.000000');
INSERT INTO "sitting_brew" VALUES(1,2,NULL,NULL,NULL);
CREATE TABLE sitting_cup (
	id INTEGER NOT NULL, 
	sitting_question_id INTEGER NOT NULL, 
	letter VARCHAR(1) NOT NULL, 
	like_id INTEGER NOT NULL, 
	changes JSON NOT NULL, 
	CONSTRAINT pk_sitting_cup PRIMARY KEY (id), 
	CONSTRAINT ck_sitting_cup_letter_word CHECK (letter IN ('A', 'B')), 
	CONSTRAINT fk_sitting_cup_like_id FOREIGN KEY(like_id) REFERENCES brew (id), 
	CONSTRAINT fk_sitting_cup_sitting_question_id FOREIGN KEY(sitting_question_id) REFERENCES sitting_question (id), 
	CONSTRAINT uq_sitting_cup_sitting_question_id_letter UNIQUE (sitting_question_id, letter)
);
INSERT INTO "sitting_cup" VALUES(1,1,'A',11,'{"stirs": 0, "steep_s": 205, "water_temp_c": 91.5, "grind": "fine", "flipped": true}');
CREATE TABLE sitting_filter (
	cup_id INTEGER NOT NULL, 
	position INTEGER NOT NULL, 
	pack_id INTEGER NOT NULL, 
	use_number INTEGER, 
	CONSTRAINT pk_sitting_filter PRIMARY KEY (cup_id, position), 
	CONSTRAINT ck_sitting_filter_position_range CHECK (position BETWEEN 1 AND 3), 
	CONSTRAINT ck_sitting_filter_use_counts CHECK (use_number >= 1), 
	CONSTRAINT fk_sitting_filter_cup_id FOREIGN KEY(cup_id) REFERENCES sitting_cup (id), 
	CONSTRAINT fk_sitting_filter_pack_id FOREIGN KEY(pack_id) REFERENCES filter_pack (id)
);
INSERT INTO "sitting_filter" VALUES(1,1,3,8);
CREATE TABLE sitting_line (
	id INTEGER NOT NULL, 
	sitting_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	sitting_question_id INTEGER NOT NULL, 
	kind VARCHAR(5) NOT NULL, 
	lasts_s INTEGER NOT NULL, 
	of_place INTEGER, 
	trial INTEGER, 
	cups INTEGER NOT NULL, 
	says VARCHAR(300) NOT NULL, 
	ticked_at DATETIME, 
	skipped_at DATETIME, 
	skipped_why VARCHAR(300) NOT NULL, 
	CONSTRAINT pk_sitting_line PRIMARY KEY (id), 
	CONSTRAINT ck_sitting_line_trial_is_counted CHECK ((kind = 'trial') = (trial IS NOT NULL)), 
	CONSTRAINT ck_sitting_line_skipped_with_reason CHECK ((skipped_at IS NULL) = (skipped_why = '')), 
	CONSTRAINT ck_sitting_line_kind_word CHECK (kind IN ('brew', 'cool', 'taste', 'trial', 'rest')), 
	CONSTRAINT ck_sitting_line_cups_range CHECK (cups BETWEEN 0 AND 100), 
	CONSTRAINT ck_sitting_line_lasts_s_range CHECK (lasts_s BETWEEN 0 AND 86400), 
	CONSTRAINT ck_sitting_line_says_length CHECK (length(says) <= 300), 
	CONSTRAINT ck_sitting_line_skipped_why_length CHECK (length(skipped_why) <= 300), 
	CONSTRAINT ck_sitting_line_of_an_earlier CHECK (of_place < place), 
	CONSTRAINT ck_sitting_line_place_counts CHECK (place >= 1), 
	CONSTRAINT ck_sitting_line_trial_range CHECK (trial BETWEEN 1 AND 100), 
	CONSTRAINT fk_sitting_line_sitting_id FOREIGN KEY(sitting_id) REFERENCES sitting (id), 
	CONSTRAINT fk_sitting_line_sitting_question_id FOREIGN KEY(sitting_question_id) REFERENCES sitting_question (id), 
	CONSTRAINT uq_sitting_line_sitting_id_place UNIQUE (sitting_id, place)
);
INSERT INTO "sitting_line" VALUES(1,1,1,1,'brew',420,NULL,NULL,0,'Warm it',NULL,NULL,'');
INSERT INTO "sitting_line" VALUES(2,1,2,1,'trial',90,1,1,3,'',NULL,'2026-09-15 12:00:00.000000','Spilled');
INSERT INTO "sitting_line" VALUES(3,1,3,1,'rest',45,NULL,NULL,0,'','2026-09-15 12:00:00.000000',NULL,'');
CREATE TABLE sitting_question (
	id INTEGER NOT NULL, 
	sitting_id INTEGER NOT NULL, 
	place INTEGER NOT NULL, 
	question_id INTEGER NOT NULL, 
	pair BOOLEAN NOT NULL, 
	test_id INTEGER, 
	CONSTRAINT pk_sitting_question PRIMARY KEY (id), 
	CONSTRAINT ck_sitting_question_place_counts CHECK (place >= 1), 
	CONSTRAINT fk_sitting_question_question_id FOREIGN KEY(question_id) REFERENCES question (id), 
	CONSTRAINT fk_sitting_question_sitting_id FOREIGN KEY(sitting_id) REFERENCES sitting (id), 
	CONSTRAINT fk_sitting_question_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id), 
	CONSTRAINT uq_sitting_question_sitting_id_place UNIQUE (sitting_id, place), 
	CONSTRAINT uq_sitting_question_sitting_id_question_id UNIQUE (sitting_id, question_id)
);
INSERT INTO "sitting_question" VALUES(1,1,1,4,1,1);
CREATE TABLE sitting_tick (
	sitting_id INTEGER NOT NULL, 
	need VARCHAR(60) NOT NULL, 
	ticked_at DATETIME NOT NULL, 
	CONSTRAINT pk_sitting_tick PRIMARY KEY (sitting_id, need), 
	CONSTRAINT ck_sitting_tick_need_filled CHECK (length(trim(need)) >= 1 AND length(need) <= 60), 
	CONSTRAINT fk_sitting_tick_sitting_id FOREIGN KEY(sitting_id) REFERENCES sitting (id)
);
INSERT INTO "sitting_tick" VALUES(1,'ice','2026-09-15 12:00:00.000000');
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
CREATE TABLE "taster" (
	id INTEGER NOT NULL, 
	name VARCHAR(120) NOT NULL, 
	binned_at DATETIME, 
	same_as_id INTEGER, 
	CONSTRAINT pk_taster PRIMARY KEY (id), 
	CONSTRAINT ck_taster_name_filled CHECK (length(trim(name)) >= 1 AND length(name) <= 120), 
	CONSTRAINT fk_taster_same_as_id FOREIGN KEY(same_as_id) REFERENCES taster (id), 
	CONSTRAINT ck_taster_same_as_another CHECK (same_as_id <> id)
);
INSERT INTO "taster" VALUES(1,'Juniper',NULL,NULL);
INSERT INTO "taster" VALUES(2,'Ilex',NULL,NULL);
INSERT INTO "taster" VALUES(3,'Briar',NULL,NULL);
INSERT INTO "taster" VALUES(4,'Sorrel',NULL,NULL);
INSERT INTO "taster" VALUES(5,'Rowan',NULL,NULL);
INSERT INTO "taster" VALUES(6,'Rowann','2026-09-15 12:00:00.000000',5);
INSERT INTO "taster" VALUES(7,'Ilex',NULL,NULL);
CREATE TABLE "tasting" (
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
	after_trial_id INTEGER, 
	CONSTRAINT pk_tasting PRIMARY KEY (id), 
	CONSTRAINT ck_tasting_jar_acidity_range CHECK (jar_acidity BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_bitterness_range CHECK (jar_bitterness BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_body_range CHECK (jar_body BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_clarity_range CHECK (jar_clarity BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_strength_range CHECK (jar_strength BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_jar_sweetness_range CHECK (jar_sweetness BETWEEN 1 AND 5), 
	CONSTRAINT ck_tasting_liking_range CHECK (liking BETWEEN 1 AND 9), 
	CONSTRAINT ck_tasting_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_tasting_words_length CHECK (length(words) <= 300), 
	CONSTRAINT fk_tasting_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_tasting_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT uq_tasting_entry_key UNIQUE (entry_key), 
	CONSTRAINT fk_tasting_after_trial_id FOREIGN KEY(after_trial_id) REFERENCES trial (id), 
	CONSTRAINT ck_tasting_after_the_key_is_sighted CHECK (after_trial_id IS NULL OR NOT blind)
);
INSERT INTO "tasting" VALUES(1,'00000000-0000-0000-0000-000000000003',2,1,'2026-01-06 07:30:00.000000','UTC',1,7,NULL,NULL,NULL,NULL,4,NULL,'plum, tea','','plum, tea ',NULL,NULL);
INSERT INTO "tasting" VALUES(2,'00000000-0000-0000-0000-00000000000c',10,1,'2026-01-14 07:30:00.000000','UTC',0,8,NULL,NULL,NULL,NULL,NULL,NULL,'','',' ',NULL,1);
CREATE TABLE "trial" (
	id INTEGER NOT NULL, 
	test_id INTEGER NOT NULL, 
	taster_id INTEGER NOT NULL, 
	number INTEGER NOT NULL, 
	pouring VARCHAR(6) NOT NULL, 
	warm_up BOOLEAN NOT NULL, 
	is_control BOOLEAN NOT NULL, 
	cups VARCHAR(4) NOT NULL, 
	codes VARCHAR(20) NOT NULL, 
	brewed_first VARCHAR(1), 
	drawn_at DATETIME NOT NULL, 
	claimed_at DATETIME, 
	poured_by VARCHAR(64), 
	served_at DATETIME, 
	answered_at DATETIME, 
	answered_by VARCHAR(64), 
	answer INTEGER, 
	sure BOOLEAN, 
	lifted VARCHAR(1), 
	seen_at DATETIME, 
	note VARCHAR(4000) NOT NULL, 
	voided_at DATETIME, 
	void_reason VARCHAR(300) NOT NULL, 
	poured_from VARCHAR(45), 
	answered_from VARCHAR(45), 
	CONSTRAINT pk_trial PRIMARY KEY (id), 
	CONSTRAINT ck_trial_answer_has_time CHECK ((answer IS NULL) = (answered_at IS NULL)), 
	CONSTRAINT ck_trial_answer_range CHECK (answer BETWEEN 0 AND 4), 
	CONSTRAINT ck_trial_answered_before_key CHECK (answered_at IS NOT NULL OR (seen_at IS NULL AND lifted IS NULL)), 
	CONSTRAINT ck_trial_brewed_first_word CHECK (brewed_first IN ('A', 'B')), 
	CONSTRAINT ck_trial_claimed_by_one CHECK ((claimed_at IS NULL) = (poured_by IS NULL)), 
	CONSTRAINT ck_trial_control_counts CHECK (NOT (is_control AND warm_up)), 
	CONSTRAINT ck_trial_control_unknown CHECK (NOT is_control OR pouring <> 'solo'), 
	CONSTRAINT ck_trial_cups_of_a_and_b CHECK (length(replace(replace(cups, 'A', ''), 'B', '')) = 0), 
	CONSTRAINT ck_trial_lifted_solo CHECK (lifted IS NULL OR pouring = 'solo'), 
	CONSTRAINT ck_trial_lifted_word CHECK (lifted IN ('0', '1', '2', '3')), 
	CONSTRAINT ck_trial_note_length CHECK (length(note) <= 4000), 
	CONSTRAINT ck_trial_number_from_one CHECK (number >= 1), 
	CONSTRAINT ck_trial_pouring_word CHECK (pouring IN ('helper', 'solo', 'coded')), 
	CONSTRAINT ck_trial_served_first CHECK (served_at IS NOT NULL OR answered_at IS NULL), 
	CONSTRAINT ck_trial_solo_on_a_tray CHECK (pouring <> 'solo' OR length(cups) <= 3), 
	CONSTRAINT ck_trial_sure_of_an_answer CHECK (answered_at IS NOT NULL OR sure IS NULL), 
	CONSTRAINT ck_trial_void_before_answer CHECK (voided_at IS NULL OR answered_at IS NULL), 
	CONSTRAINT ck_trial_void_has_reason CHECK ((voided_at IS NULL AND void_reason = '') OR (voided_at IS NOT NULL AND length(trim(void_reason)) >= 1)), 
	CONSTRAINT ck_trial_void_reason_length CHECK (length(void_reason) <= 300), 
	CONSTRAINT fk_trial_taster_id FOREIGN KEY(taster_id) REFERENCES taster (id), 
	CONSTRAINT fk_trial_test_id FOREIGN KEY(test_id) REFERENCES blind_test (id), 
	CONSTRAINT fk_trial_test_id_taster_id FOREIGN KEY(test_id, taster_id) REFERENCES blind_taster (test_id, taster_id), 
	CONSTRAINT uq_trial_test_id_number UNIQUE (test_id, number), 
	CONSTRAINT ck_trial_cups_length CHECK (length(cups) BETWEEN 1 AND 4), 
	CONSTRAINT ck_trial_answer_is_a_place CHECK (answer <= CASE length(cups) WHEN 1 THEN 2 ELSE length(cups) END)
);
INSERT INTO "trial" VALUES(1,1,2,1,'helper',0,0,'ABA','417 902 655','A','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000','bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb',2,1,NULL,'2026-09-15 12:00:00.000000','',NULL,'',NULL,NULL);
INSERT INTO "trial" VALUES(2,2,4,1,'coded',0,0,'A','417',NULL,'2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000','aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa','2026-09-15 12:00:00.000000','2026-09-15 12:00:00.000000','bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb',2,NULL,NULL,'2026-09-15 12:00:00.000000','',NULL,'',NULL,NULL);
CREATE TABLE trial_brew (
	trial_id INTEGER NOT NULL, 
	brew_id INTEGER NOT NULL, 
	cup VARCHAR(1) NOT NULL, 
	CONSTRAINT pk_trial_brew PRIMARY KEY (trial_id, brew_id), 
	CONSTRAINT ck_trial_brew_cup_word CHECK (cup IN ('A', 'B')), 
	CONSTRAINT fk_trial_brew_brew_id FOREIGN KEY(brew_id) REFERENCES brew (id), 
	CONSTRAINT fk_trial_brew_trial_id FOREIGN KEY(trial_id) REFERENCES trial (id)
);
INSERT INTO "trial_brew" VALUES(1,5,'B');
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
CREATE INDEX ix_filter_retired_on ON filter (retired_on);
CREATE INDEX ix_bag_correction_bag_id ON bag_correction (bag_id);
CREATE INDEX ix_frozen_span_bag_id ON frozen_span (bag_id);
CREATE INDEX ix_filter_use_filter_id_brewed_at ON filter_use (filter_id, brewed_at, brew_id);
CREATE INDEX ix_side_by_side_brew_a_id ON side_by_side (brew_a_id);
CREATE INDEX ix_side_by_side_brew_b_id ON side_by_side (brew_b_id);
CREATE INDEX ix_side_by_side_saved_at_id ON side_by_side (saved_at, id);
CREATE INDEX ix_question_brew_brew_id ON question_brew (brew_id);
CREATE INDEX ix_question_blind_test_test_id ON question_blind_test (test_id);
CREATE INDEX ix_question_side_by_side_side_by_side_id ON question_side_by_side (side_by_side_id);
CREATE INDEX ix_trial_brew_brew_id ON trial_brew (brew_id);
CREATE INDEX ix_blind_taster_taster_id ON blind_taster (taster_id);
CREATE INDEX ix_pairing_code_guest_of_test_id ON pairing_code (guest_of_test_id);
CREATE INDEX ix_brew_photo_binned_at ON brew_photo (binned_at) WHERE binned_at IS NOT NULL;
CREATE INDEX ix_brew_photo_brew_id ON brew_photo (brew_id);
CREATE UNIQUE INDEX uq_brew_photo_one_shown ON brew_photo (brew_id) WHERE binned_at IS NULL;
CREATE INDEX ix_trial_taster_id ON trial (taster_id);
CREATE UNIQUE INDEX uq_trial_one_open_a_taster ON trial (test_id, taster_id) WHERE voided_at IS NULL AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL));
CREATE INDEX ix_blind_test_a_brew_id ON blind_test (a_brew_id);
CREATE INDEX ix_blind_test_a_filter_id ON blind_test (a_filter_id);
CREATE INDEX ix_blind_test_a_revision_id ON blind_test (a_revision_id);
CREATE INDEX ix_blind_test_b_brew_id ON blind_test (b_brew_id);
CREATE INDEX ix_blind_test_b_filter_id ON blind_test (b_filter_id);
CREATE INDEX ix_blind_test_b_revision_id ON blind_test (b_revision_id);
CREATE INDEX ix_blind_test_made_at_id ON blind_test (made_at, id);
CREATE TRIGGER trial_kept BEFORE UPDATE ON trial WHEN NEW.id IS NOT OLD.id OR NEW.test_id IS NOT OLD.test_id OR NEW.taster_id IS NOT OLD.taster_id OR NEW.number IS NOT OLD.number OR NEW.pouring IS NOT OLD.pouring OR NEW.warm_up IS NOT OLD.warm_up OR NEW.is_control IS NOT OLD.is_control OR NEW.cups IS NOT OLD.cups OR NEW.codes IS NOT OLD.codes OR NEW.brewed_first IS NOT OLD.brewed_first OR NEW.drawn_at IS NOT OLD.drawn_at OR (OLD.claimed_at IS NOT NULL AND NEW.claimed_at IS NOT OLD.claimed_at) OR (OLD.poured_by IS NOT NULL AND NEW.poured_by IS NOT OLD.poured_by) OR (OLD.served_at IS NOT NULL AND NEW.served_at IS NOT OLD.served_at) OR (OLD.answered_at IS NOT NULL AND NEW.answered_at IS NOT OLD.answered_at) OR (OLD.answered_by IS NOT NULL AND NEW.answered_by IS NOT OLD.answered_by) OR (OLD.answer IS NOT NULL AND NEW.answer IS NOT OLD.answer) OR (OLD.sure IS NOT NULL AND NEW.sure IS NOT OLD.sure) OR (OLD.lifted IS NOT NULL AND NEW.lifted IS NOT OLD.lifted) OR (OLD.seen_at IS NOT NULL AND NEW.seen_at IS NOT OLD.seen_at) OR (OLD.voided_at IS NOT NULL AND NEW.voided_at IS NOT OLD.voided_at) OR (OLD.served_at IS NOT NULL AND (NEW.claimed_at IS NOT OLD.claimed_at OR NEW.poured_by IS NOT OLD.poured_by)) OR (OLD.answered_at IS NOT NULL AND (NEW.answered_by IS NOT OLD.answered_by OR NEW.sure IS NOT OLD.sure)) OR (OLD.voided_at IS NOT NULL AND (NEW.claimed_at IS NOT OLD.claimed_at OR NEW.poured_by IS NOT OLD.poured_by OR NEW.served_at IS NOT OLD.served_at OR NEW.answered_at IS NOT OLD.answered_at OR NEW.answered_by IS NOT OLD.answered_by OR NEW.answer IS NOT OLD.answer OR NEW.sure IS NOT OLD.sure OR NEW.lifted IS NOT OLD.lifted OR NEW.seen_at IS NOT OLD.seen_at OR NEW.void_reason IS NOT OLD.void_reason)) BEGIN SELECT RAISE(ABORT, 'A trial''s key and answer stay as they were.'); END;
CREATE TRIGGER trial_not_deleted BEFORE DELETE ON trial WHEN 1 BEGIN SELECT RAISE(ABORT, 'A trial that was drawn counts and cannot be deleted.'); END;
CREATE TRIGGER trial_not_replaced BEFORE INSERT ON trial WHEN EXISTS (SELECT 1 FROM trial WHERE id = NEW.id OR (test_id = NEW.test_id AND number = NEW.number) OR (test_id = NEW.test_id AND taster_id = NEW.taster_id AND voided_at IS NULL AND (answered_at IS NULL OR (pouring = 'solo' AND lifted IS NULL)))) BEGIN SELECT RAISE(ABORT, 'A trial that was drawn counts and cannot be deleted.'); END;
CREATE TRIGGER blind_test_not_deleted BEFORE DELETE ON blind_test WHEN EXISTS (SELECT 1 FROM trial WHERE test_id = OLD.id) BEGIN SELECT RAISE(ABORT, 'A blind test with trials cannot be deleted.'); END;
CREATE TRIGGER blind_test_not_replaced BEFORE INSERT ON blind_test WHEN EXISTS (SELECT 1 FROM blind_test WHERE id = NEW.id OR entry_key = NEW.entry_key) BEGIN SELECT RAISE(ABORT, 'A blind test with trials cannot be deleted.'); END;
CREATE TRIGGER trial_before_end BEFORE INSERT ON trial WHEN EXISTS (SELECT 1 FROM blind_test WHERE id = NEW.test_id AND ended IS NOT NULL) BEGIN SELECT RAISE(ABORT, 'A blind test that has ended gets no more trials.'); END;
CREATE TRIGGER trial_from_kept BEFORE UPDATE ON trial WHEN (OLD.poured_from IS NOT NULL AND NEW.poured_from IS NOT OLD.poured_from) OR (OLD.answered_from IS NOT NULL AND NEW.answered_from IS NOT OLD.answered_from) BEGIN SELECT RAISE(ABORT, 'Where a trial was poured and answered stays.'); END;
CREATE TRIGGER blind_test_mark_kept BEFORE UPDATE ON blind_test_mark WHEN 1 BEGIN SELECT RAISE(ABORT, 'A mark of a blind test stays.'); END;
CREATE TRIGGER blind_test_mark_not_deleted BEFORE DELETE ON blind_test_mark WHEN 1 BEGIN SELECT RAISE(ABORT, 'A mark of a blind test stays.'); END;
CREATE TRIGGER blind_test_kept BEFORE UPDATE ON blind_test WHEN ((NEW.a_words IS NOT OLD.a_words OR NEW.a_brew_id IS NOT OLD.a_brew_id OR NEW.a_revision_id IS NOT OLD.a_revision_id OR NEW.a_filter_id IS NOT OLD.a_filter_id OR NEW.a_filter_use IS NOT OLD.a_filter_use OR NEW.b_words IS NOT OLD.b_words OR NEW.b_brew_id IS NOT OLD.b_brew_id OR NEW.b_revision_id IS NOT OLD.b_revision_id OR NEW.b_filter_id IS NOT OLD.b_filter_id OR NEW.b_filter_use IS NOT OLD.b_filter_use OR NEW.claim IS NOT OLD.claim OR NEW.brewing IS NOT OLD.brewing OR NEW.method IS NOT OLD.method OR NEW.reminder IS NOT OLD.reminder OR NEW.attribute IS NOT OLD.attribute OR NEW.more IS NOT OLD.more OR NEW.rule IS NOT OLD.rule OR NEW.p_d IS NOT OLD.p_d OR NEW.fixed_trials IS NOT OLD.fixed_trials OR NEW.alpha IS NOT OLD.alpha OR NEW.beta IS NOT OLD.beta OR NEW.control_in IS NOT OLD.control_in OR NEW.controls IS NOT OLD.controls OR NEW.several_tasters IS NOT OLD.several_tasters OR NEW.balanced IS NOT OLD.balanced OR NEW.made_at IS NOT OLD.made_at OR NEW.entry_key IS NOT OLD.entry_key) AND EXISTS (SELECT 1 FROM trial WHERE test_id = OLD.id)) OR NEW.id <> OLD.id OR (OLD.stopped_at IS NOT NULL AND (NEW.ended IS NOT OLD.ended OR NEW.stopped_at IS NOT OLD.stopped_at OR NEW.stopped_why IS NOT OLD.stopped_why)) BEGIN SELECT RAISE(ABORT, 'The plan of a blind test stays as it was once a trial has been drawn.'); END;
CREATE INDEX ix_question_left_test_test_id ON question_left_test (test_id);
CREATE INDEX ix_blind_packet_test_id ON blind_packet (test_id);
CREATE TRIGGER blind_packet_kept BEFORE UPDATE ON blind_packet WHEN NEW.id IS NOT OLD.id OR NEW.test_id IS NOT OLD.test_id OR NEW.code IS NOT OLD.code OR NEW.cup IS NOT OLD.cup OR NEW.packed_at IS NOT OLD.packed_at OR NEW.packed_by IS NOT OLD.packed_by OR NEW.packed_from IS NOT OLD.packed_from OR (OLD.covered_at IS NOT NULL AND NEW.covered_at IS NOT OLD.covered_at) OR (OLD.trial_id IS NOT NULL AND NEW.trial_id IS NOT OLD.trial_id) BEGIN SELECT RAISE(ABORT, 'What a packet holds, and which trial took it, stays.'); END;
CREATE TRIGGER blind_packet_not_deleted BEFORE DELETE ON blind_packet WHEN 1 BEGIN SELECT RAISE(ABORT, 'What a packet holds, and which trial took it, stays.'); END;
CREATE TRIGGER blind_packet_not_replaced BEFORE INSERT ON blind_packet WHEN EXISTS (SELECT 1 FROM blind_packet WHERE id = NEW.id) BEGIN SELECT RAISE(ABORT, 'What a packet holds, and which trial took it, stays.'); END;
CREATE INDEX ix_filter_pack_id_binned_at ON filter (pack_id, binned_at);
CREATE INDEX ix_brewer_alike_to_id ON brewer (alike_to_id);
CREATE INDEX ix_device_guest_of_test_id ON device (guest_of_test_id);
CREATE INDEX ix_device_helper_of_test_id ON device (helper_of_test_id);
CREATE INDEX ix_tasting_binned_at ON tasting (binned_at) WHERE binned_at IS NOT NULL;
CREATE INDEX ix_tasting_brew_id_id ON tasting (brew_id, id);
CREATE INDEX ix_tasting_tasted_at_id ON tasting (tasted_at, id);
CREATE INDEX ix_tasting_taster_id ON tasting (taster_id);
CREATE INDEX ix_tasting_after_trial_id ON tasting (after_trial_id) WHERE after_trial_id IS NOT NULL;
CREATE INDEX ix_brew_bag_id_brewed_at ON brew (bag_id, brewed_at, id);
CREATE INDEX ix_brew_binned_at ON brew (binned_at) WHERE binned_at IS NOT NULL;
CREATE INDEX ix_brew_brewed_at_id ON brew (brewed_at, id);
CREATE INDEX ix_brew_brewed_on ON brew (brewed_on);
CREATE INDEX ix_brew_brewer_id_brewed_at ON brew (brewer_id, brewed_at, id);
CREATE INDEX ix_brew_grinder_id_brewed_at ON brew (grinder_id, brewed_at, id);
CREATE INDEX ix_brew_measured ON brew (brewed_at) WHERE tds_pct IS NOT NULL;
CREATE INDEX ix_brew_revision_id_brewed_at ON brew (revision_id, brewed_at, id);
CREATE INDEX ix_brew_water_id_brewed_at ON brew (water_id, brewed_at, id);
CREATE INDEX ix_brew_weighed ON brew (brewed_at) WHERE beverage_g IS NOT NULL;
CREATE INDEX ix_recipe_revision_brewer_id ON recipe_revision (brewer_id);
CREATE INDEX ix_ask_question_id ON ask (question_id);
CREATE INDEX ix_question_asked_at_id ON question (asked_at, id);
CREATE INDEX ix_sitting_planned_at_id ON sitting (planned_at, id);
CREATE INDEX ix_sitting_question_question_id ON sitting_question (question_id);
CREATE INDEX ix_sitting_question_test_id ON sitting_question (test_id);
CREATE INDEX ix_sitting_cup_like_id ON sitting_cup (like_id);
CREATE INDEX ix_sitting_line_sitting_question_id ON sitting_line (sitting_question_id);
CREATE INDEX ix_sitting_brew_brew_id ON sitting_brew (brew_id);
CREATE INDEX ix_sitting_filter_pack_id ON sitting_filter (pack_id);
CREATE INDEX ix_bag_bean_id ON bag (bean_id);
CREATE INDEX ix_bag_finished_on_id ON bag (finished_on, id);
CREATE INDEX ix_tasting_liking_tasted_at ON tasting (liking, tasted_at, id);
CREATE INDEX ix_import_link_import_id ON import_link (import_id);
CREATE INDEX ix_imported_rows_import_id ON imported_rows (import_id);
CREATE INDEX ix_left_trial_taster_id ON left_trial (taster_id);
CREATE INDEX ix_taster_same_as_id ON taster (same_as_id);
CREATE INDEX ix_experiment_bag_id ON experiment (bag_id);
CREATE INDEX ix_experiment_like_id ON experiment (like_id);
CREATE INDEX ix_experiment_planned_at_id ON experiment (planned_at, id);
CREATE INDEX ix_experiment_revision_id ON experiment (revision_id);
CREATE INDEX ix_experiment_taster_id ON experiment (taster_id);
COMMIT;
