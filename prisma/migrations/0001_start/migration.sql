-- The start: tables as in schema.prisma, then what Prisma can't say: checks and triggers.

-- CreateEnum
CREATE TYPE "Role" AS ENUM ('officer', 'storekeeper', 'keyholder', 'builder', 'helper');

-- CreateEnum
CREATE TYPE "CompetenceLevel" AS ENUM ('full', 'supervised');

-- CreateEnum
CREATE TYPE "SiteKind" AS ENUM ('club', 'home');

-- CreateEnum
CREATE TYPE "SessionState" AS ENUM ('planned', 'closed', 'cancelled');

-- CreateEnum
CREATE TYPE "Answer" AS ENUM ('coming', 'not_coming');

-- CreateEnum
CREATE TYPE "BuildState" AS ENUM ('active', 'paused', 'launched');

-- CreateEnum
CREATE TYPE "Visibility" AS ENUM ('club', 'team');

-- CreateEnum
CREATE TYPE "FinishGrade" AS ENUM ('workboat', 'good', 'show');

-- CreateEnum
CREATE TYPE "WorkKind" AS ENUM ('shared', 'together', 'unattended');

-- CreateEnum
CREATE TYPE "LinkKind" AS ENUM ('finish', 'lag', 'stage', 'window');

-- CreateEnum
CREATE TYPE "CureStage" AS ENUM ('workable', 'dustFree', 'opens', 'closes', 'sandable', 'handleable', 'fullCure');

-- CreateEnum
CREATE TYPE "RatioBy" AS ENUM ('mass', 'volume');

-- CreateTable
CREATE TABLE "club" (
    "id" INTEGER NOT NULL DEFAULT 1,
    "name" TEXT NOT NULL,
    "zone" TEXT NOT NULL,
    "locale" TEXT NOT NULL DEFAULT 'en-GB',
    "units" TEXT NOT NULL DEFAULT 'metric',
    "currency" TEXT NOT NULL DEFAULT 'EUR',
    "missed_window_days" INTEGER NOT NULL DEFAULT 3,
    "surface_offset" DOUBLE PRECISION NOT NULL DEFAULT -2,
    "count_usual" BOOLEAN NOT NULL DEFAULT true,
    "plan_schedules" INTEGER NOT NULL DEFAULT 200,
    "version" INTEGER NOT NULL DEFAULT 1,
    "set_up_at" TIMESTAMPTZ NOT NULL,

    CONSTRAINT "club_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "member" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "email" TEXT,
    "phone" TEXT,
    "roles" "Role"[],
    "is_minor" BOOLEAN NOT NULL DEFAULT false,
    "helps_anyone" BOOLEAN NOT NULL DEFAULT false,
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "member_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sign_in_user" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "member_id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "password_hash" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "sign_in_user_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sign_in" (
    "id" TEXT NOT NULL,
    "user_id" UUID NOT NULL,
    "expires_at" TIMESTAMPTZ NOT NULL,

    CONSTRAINT "sign_in_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sign_in_attempt" (
    "id" BIGSERIAL NOT NULL,
    "email" TEXT NOT NULL,
    "address" TEXT NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "passed" BOOLEAN NOT NULL,

    CONSTRAINT "sign_in_attempt_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "invitation" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "member_id" UUID NOT NULL,
    "token_hash" TEXT NOT NULL,
    "expires_at" TIMESTAMPTZ NOT NULL,
    "used_at" TIMESTAMPTZ,

    CONSTRAINT "invitation_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "once_key" (
    "key" UUID NOT NULL,
    "member_id" UUID,
    "route" TEXT NOT NULL,
    "location" TEXT,
    "created_at" TIMESTAMPTZ NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "once_key_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "audit_row" (
    "id" BIGSERIAL NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "member_id" UUID,
    "what" TEXT NOT NULL,
    "entity" TEXT NOT NULL,
    "entity_id" TEXT NOT NULL,
    "build_id" UUID,
    "before" JSONB,
    "after" JSONB,

    CONSTRAINT "audit_row_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "competence" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "refresh_years" INTEGER,
    "is_active" BOOLEAN NOT NULL DEFAULT true,

    CONSTRAINT "competence_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "member_competence" (
    "member_id" UUID NOT NULL,
    "competence_id" UUID NOT NULL,
    "level" "CompetenceLevel" NOT NULL,
    "checked_on" DATE NOT NULL,
    "checked_by" UUID,
    "refresh_on" DATE,

    CONSTRAINT "member_competence_pkey" PRIMARY KEY ("member_id","competence_id")
);

-- CreateTable
CREATE TABLE "site" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "kind" "SiteKind" NOT NULL DEFAULT 'club',
    "member_id" UUID,

    CONSTRAINT "site_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "place" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "bays" INTEGER NOT NULL DEFAULT 0,
    "monthly_air" DOUBLE PRECISION[],
    "half_swing" DOUBLE PRECISION NOT NULL DEFAULT 0,
    "monthly_dew" DOUBLE PRECISION[],
    "heat_to" DOUBLE PRECISION,
    "heat_before_min" INTEGER NOT NULL DEFAULT 120,
    "settle_min" INTEGER NOT NULL DEFAULT 120,
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "place_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "place_reading" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "place_id" UUID NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "air" DOUBLE PRECISION NOT NULL,
    "humidity" DOUBLE PRECISION,
    "member_id" UUID,

    CONSTRAINT "place_reading_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "place_closure" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "place_id" UUID NOT NULL,
    "starts" TIMESTAMPTZ NOT NULL,
    "ends" TIMESTAMPTZ NOT NULL,
    "why" TEXT NOT NULL,

    CONSTRAINT "place_closure_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "tool" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "count" INTEGER NOT NULL DEFAULT 1,
    "site_id" UUID,
    "competence_id" UUID,
    "arrives_on" DATE,
    "note" TEXT NOT NULL DEFAULT '',
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "tool_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "tool_outage" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "tool_id" UUID NOT NULL,
    "count" INTEGER NOT NULL DEFAULT 1,
    "from_on" DATE NOT NULL,
    "to_on" DATE,
    "why" TEXT NOT NULL,

    CONSTRAINT "tool_outage_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "series" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "site_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "weekday" INTEGER NOT NULL,
    "starts" TEXT NOT NULL,
    "ends" TEXT NOT NULL,
    "every_weeks" INTEGER NOT NULL DEFAULT 1,
    "from_on" DATE NOT NULL,
    "until_on" DATE NOT NULL,
    "goes_on" BOOLEAN NOT NULL DEFAULT true,
    "keyholder_id" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "series_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "session" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "series_id" UUID,
    "site_id" UUID NOT NULL,
    "date" DATE NOT NULL,
    "starts" TEXT NOT NULL,
    "ends" TEXT NOT NULL,
    "keyholder_id" UUID,
    "title" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "state" "SessionState" NOT NULL DEFAULT 'planned',
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "attendance" (
    "session_id" UUID NOT NULL,
    "member_id" UUID NOT NULL,
    "answer" "Answer",
    "from_time" TEXT,
    "to_time" TEXT,
    "came_at" TIMESTAMPTZ,
    "left_at" TIMESTAMPTZ,
    "walk_in" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "attendance_pkey" PRIMARY KEY ("session_id","member_id")
);

-- CreateTable
CREATE TABLE "usual_attendance" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "member_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "weekday" INTEGER NOT NULL,
    "from_time" TEXT NOT NULL,
    "to_time" TEXT NOT NULL,

    CONSTRAINT "usual_attendance_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "own_hours" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "member_id" UUID NOT NULL,
    "site_id" UUID NOT NULL,
    "weekday" INTEGER NOT NULL,
    "from_time" TEXT NOT NULL,
    "to_time" TEXT NOT NULL,
    "from_on" DATE NOT NULL,
    "until_on" DATE,

    CONSTRAINT "own_hours_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "cure_product" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "reference_temp" DOUBLE PRECISION NOT NULL,
    "workable_min" INTEGER,
    "dust_free_min" INTEGER,
    "opens_min" INTEGER,
    "closes_min" INTEGER,
    "closes_cap_min" INTEGER,
    "sandable_min" INTEGER,
    "handleable_min" INTEGER,
    "full_cure_min" INTEGER,
    "film_energy_low" DOUBLE PRECISION NOT NULL DEFAULT 18,
    "film_energy_high" DOUBLE PRECISION NOT NULL DEFAULT 55,
    "pot_energy" DOUBLE PRECISION NOT NULL DEFAULT 55,
    "cure_floor" DOUBLE PRECISION NOT NULL,
    "min_air" DOUBLE PRECISION,
    "max_air" DOUBLE PRECISION,
    "max_humidity" DOUBLE PRECISION,
    "dew_point_margin" DOUBLE PRECISION,
    "pot_life_min" DOUBLE PRECISION,
    "pot_mass_g" DOUBLE PRECISION,
    "pot_temp" DOUBLE PRECISION,
    "ratio_by" "RatioBy",
    "ratio_a" DOUBLE PRECISION,
    "ratio_b" DOUBLE PRECISION,
    "density_a" DOUBLE PRECISION,
    "density_b" DOUBLE PRECISION,
    "dust_sensitive" BOOLEAN NOT NULL DEFAULT true,
    "hazard" TEXT NOT NULL DEFAULT '',
    "source" TEXT NOT NULL,
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "cure_product_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "build" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "design" TEXT NOT NULL DEFAULT '',
    "state" "BuildState" NOT NULL DEFAULT 'active',
    "visibility" "Visibility" NOT NULL DEFAULT 'club',
    "place_id" UUID NOT NULL,
    "priority" DOUBLE PRECISION NOT NULL DEFAULT 1,
    "launch_target" DATE,
    "started_on" DATE NOT NULL,
    "list_key" TEXT,
    "list_version" INTEGER,
    "measurements" JSONB NOT NULL DEFAULT '{}',
    "grade" "FinishGrade" NOT NULL DEFAULT 'good',
    "launch_task_id" UUID,
    "paused_on" DATE,
    "pause_note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,
    "created_at" TIMESTAMPTZ NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "build_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "build_member" (
    "build_id" UUID NOT NULL,
    "member_id" UUID NOT NULL,

    CONSTRAINT "build_member_pkey" PRIMARY KEY ("build_id","member_id")
);

-- CreateTable
CREATE TABLE "phase" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "build_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "position" INTEGER NOT NULL,

    CONSTRAINT "phase_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "task" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "build_id" UUID NOT NULL,
    "phase_id" UUID NOT NULL,
    "position" INTEGER NOT NULL,
    "list_key" TEXT,
    "name" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "caution" TEXT NOT NULL DEFAULT '',
    "kind" "WorkKind" NOT NULL,
    "work_low_min" INTEGER NOT NULL,
    "work_likely_min" INTEGER NOT NULL,
    "work_high_min" INTEGER NOT NULL,
    "hands_from" INTEGER NOT NULL DEFAULT 1,
    "hands_to" INTEGER NOT NULL DEFAULT 1,
    "smallest_min" INTEGER,
    "set_up_min" INTEGER NOT NULL DEFAULT 0,
    "clear_up_min" INTEGER NOT NULL DEFAULT 0,
    "portable" BOOLEAN NOT NULL DEFAULT false,
    "dusty" BOOLEAN NOT NULL DEFAULT false,
    "product_id" UUID,
    "min_air" DOUBLE PRECISION,
    "max_air" DOUBLE PRECISION,
    "max_humidity" DOUBLE PRECISION,
    "dew_point_margin" DOUBLE PRECISION,
    "release_on" DATE,
    "stated_left_min" INTEGER,
    "stated_left_at" TIMESTAMPTZ,
    "started_at" TIMESTAMPTZ,
    "finished_at" TIMESTAMPTZ,
    "finished_by" UUID,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "task_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "step" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "task_id" UUID NOT NULL,
    "position" INTEGER NOT NULL,
    "text" TEXT NOT NULL,
    "caution" TEXT NOT NULL DEFAULT '',
    "weight" INTEGER NOT NULL DEFAULT 1,
    "ticked_at" TIMESTAMPTZ,
    "ticked_by" UUID,

    CONSTRAINT "step_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "task_place" (
    "task_id" UUID NOT NULL,
    "place_id" UUID NOT NULL,

    CONSTRAINT "task_place_pkey" PRIMARY KEY ("task_id","place_id")
);

-- CreateTable
CREATE TABLE "task_tool" (
    "task_id" UUID NOT NULL,
    "tool_id" UUID NOT NULL,
    "count" INTEGER NOT NULL DEFAULT 1,
    "held_until" "CureStage",

    CONSTRAINT "task_tool_pkey" PRIMARY KEY ("task_id","tool_id")
);

-- CreateTable
CREATE TABLE "task_competence" (
    "task_id" UUID NOT NULL,
    "competence_id" UUID NOT NULL,

    CONSTRAINT "task_competence_pkey" PRIMARY KEY ("task_id","competence_id")
);

-- CreateTable
CREATE TABLE "task_material" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "task_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "unit" TEXT NOT NULL,
    "low" DOUBLE PRECISION NOT NULL,
    "likely" DOUBLE PRECISION NOT NULL,
    "high" DOUBLE PRECISION NOT NULL,
    "rule" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "task_material_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "link" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "build_id" UUID NOT NULL,
    "from_id" UUID NOT NULL,
    "to_id" UUID NOT NULL,
    "kind" "LinkKind" NOT NULL,
    "lag_min" INTEGER NOT NULL DEFAULT 0,
    "edge" TEXT NOT NULL DEFAULT 'finish',
    "min_lag_min" INTEGER,
    "max_lag_min" INTEGER,
    "stage" "CureStage",
    "wash_min" INTEGER,
    "missed_at" TIMESTAMPTZ,
    "wash_started_at" TIMESTAMPTZ,
    "wash_done_at" TIMESTAMPTZ,
    "wash_logged_min" INTEGER NOT NULL DEFAULT 0,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "link_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "hold" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "build_id" UUID NOT NULL,
    "tool_id" UUID,
    "amount" INTEGER NOT NULL DEFAULT 1,
    "from_task_id" UUID NOT NULL,
    "to_task_id" UUID NOT NULL,

    CONSTRAINT "hold_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "work_log" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "build_id" UUID NOT NULL,
    "task_id" UUID NOT NULL,
    "session_id" UUID,
    "link_id" UUID,
    "started_at" TIMESTAMPTZ NOT NULL,
    "elapsed_min" INTEGER NOT NULL,
    "worked_min" INTEGER NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "logged_by" UUID NOT NULL,
    "logged_at" TIMESTAMPTZ NOT NULL,
    "reverses_id" UUID,

    CONSTRAINT "work_log_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "work_log_person" (
    "work_log_id" UUID NOT NULL,
    "member_id" UUID NOT NULL,

    CONSTRAINT "work_log_person_pkey" PRIMARY KEY ("work_log_id","member_id")
);

-- CreateTable
CREATE TABLE "coat" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "task_id" UUID NOT NULL,
    "product_id" UUID NOT NULL,
    "place_id" UUID NOT NULL,
    "started_at" TIMESTAMPTZ NOT NULL,
    "ended_at" TIMESTAMPTZ NOT NULL,
    "logged_by" UUID NOT NULL,
    "logged_at" TIMESTAMPTZ NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "coat_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "stage_finding" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "coat_id" UUID NOT NULL,
    "stage" "CureStage" NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "computed_at" TIMESTAMPTZ,
    "how" TEXT NOT NULL,
    "member_id" UUID NOT NULL,
    "logged_at" TIMESTAMPTZ NOT NULL,

    CONSTRAINT "stage_finding_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "pin" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "task_id" UUID NOT NULL,
    "starts_at" TIMESTAMPTZ NOT NULL,
    "ends_at" TIMESTAMPTZ NOT NULL,
    "place_id" UUID,
    "people" UUID[],
    "supervisor_id" UUID,
    "pinned_by" UUID NOT NULL,
    "pinned_at" TIMESTAMPTZ NOT NULL,

    CONSTRAINT "pin_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "close_out" (
    "session_id" UUID NOT NULL,
    "closed_by" UUID NOT NULL,
    "closed_at" TIMESTAMPTZ NOT NULL,
    "shed_locked" BOOLEAN NOT NULL,
    "waste_safe" BOOLEAN NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "close_out_pkey" PRIMARY KEY ("session_id")
);

-- CreateTable
CREATE TABLE "plan_request" (
    "id" BIGSERIAL NOT NULL,
    "cause" TEXT NOT NULL,
    "member_id" UUID,
    "at" TIMESTAMPTZ NOT NULL,

    CONSTRAINT "plan_request_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "plan" (
    "id" BIGSERIAL NOT NULL,
    "made_at" TIMESTAMPTZ NOT NULL,
    "from_at" TIMESTAMPTZ NOT NULL,
    "covers_request" BIGINT NOT NULL,
    "causes" TEXT[],
    "schedules" INTEGER NOT NULL,
    "took_ms" INTEGER NOT NULL,
    "status" TEXT NOT NULL,
    "score" JSONB NOT NULL,
    "unplanned" JSONB NOT NULL,
    "dropped" JSONB NOT NULL,
    "missed" JSONB NOT NULL,
    "met" JSONB NOT NULL,
    "moves" JSONB NOT NULL,

    CONSTRAINT "plan_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "plan_piece" (
    "plan_id" BIGINT NOT NULL,
    "piece_id" TEXT NOT NULL,
    "build_id" UUID NOT NULL,
    "task_id" UUID NOT NULL,
    "wash_link_id" UUID,
    "starts_at" TIMESTAMPTZ NOT NULL,
    "ends_at" TIMESTAMPTZ NOT NULL,
    "people" UUID[],
    "supervisor_id" UUID,
    "place_id" UUID,
    "fixed" TEXT,
    "projected" BOOLEAN NOT NULL,
    "binding" JSONB NOT NULL,
    "float_min" INTEGER NOT NULL,
    "free_float_min" INTEGER NOT NULL,

    CONSTRAINT "plan_piece_pkey" PRIMARY KEY ("plan_id","piece_id")
);

-- CreateTable
CREATE TABLE "plan_build" (
    "plan_id" BIGINT NOT NULL,
    "build_id" UUID NOT NULL,
    "launch_at" TIMESTAMPTZ,
    "lower_bound" TIMESTAMPTZ,
    "late_min" INTEGER NOT NULL,
    "chain" TEXT[],

    CONSTRAINT "plan_build_pkey" PRIMARY KEY ("plan_id","build_id")
);

-- CreateIndex
CREATE UNIQUE INDEX "member_email_key" ON "member"("email");

-- CreateIndex
CREATE UNIQUE INDEX "sign_in_user_member_id_key" ON "sign_in_user"("member_id");

-- CreateIndex
CREATE UNIQUE INDEX "sign_in_user_email_key" ON "sign_in_user"("email");

-- CreateIndex
CREATE INDEX "sign_in_user_id_idx" ON "sign_in"("user_id");

-- CreateIndex
CREATE INDEX "sign_in_attempt_email_at_idx" ON "sign_in_attempt"("email", "at");

-- CreateIndex
CREATE INDEX "sign_in_attempt_address_at_idx" ON "sign_in_attempt"("address", "at");

-- CreateIndex
CREATE UNIQUE INDEX "invitation_token_hash_key" ON "invitation"("token_hash");

-- CreateIndex
CREATE INDEX "invitation_member_id_idx" ON "invitation"("member_id");

-- CreateIndex
CREATE INDEX "once_key_created_at_idx" ON "once_key"("created_at");

-- CreateIndex
CREATE INDEX "audit_row_entity_entity_id_idx" ON "audit_row"("entity", "entity_id");

-- CreateIndex
CREATE INDEX "audit_row_build_id_at_idx" ON "audit_row"("build_id", "at");

-- CreateIndex
CREATE UNIQUE INDEX "competence_name_key" ON "competence"("name");

-- CreateIndex
CREATE INDEX "member_competence_competence_id_idx" ON "member_competence"("competence_id");

-- CreateIndex
CREATE UNIQUE INDEX "site_name_key" ON "site"("name");

-- CreateIndex
CREATE INDEX "site_member_id_idx" ON "site"("member_id");

-- CreateIndex
CREATE UNIQUE INDEX "place_name_key" ON "place"("name");

-- CreateIndex
CREATE INDEX "place_site_id_idx" ON "place"("site_id");

-- CreateIndex
CREATE INDEX "place_reading_place_id_at_idx" ON "place_reading"("place_id", "at");

-- CreateIndex
CREATE INDEX "place_closure_place_id_ends_idx" ON "place_closure"("place_id", "ends");

-- CreateIndex
CREATE UNIQUE INDEX "tool_name_key" ON "tool"("name");

-- CreateIndex
CREATE INDEX "tool_site_id_idx" ON "tool"("site_id");

-- CreateIndex
CREATE INDEX "tool_competence_id_idx" ON "tool"("competence_id");

-- CreateIndex
CREATE INDEX "tool_outage_tool_id_idx" ON "tool_outage"("tool_id");

-- CreateIndex
CREATE INDEX "series_site_id_idx" ON "series"("site_id");

-- CreateIndex
CREATE INDEX "session_date_idx" ON "session"("date");

-- CreateIndex
CREATE INDEX "session_site_id_idx" ON "session"("site_id");

-- CreateIndex
CREATE INDEX "session_keyholder_id_idx" ON "session"("keyholder_id");

-- CreateIndex
CREATE UNIQUE INDEX "session_series_id_date_key" ON "session"("series_id", "date");

-- CreateIndex
CREATE INDEX "attendance_member_id_idx" ON "attendance"("member_id");

-- CreateIndex
CREATE UNIQUE INDEX "usual_attendance_member_id_site_id_weekday_from_time_key" ON "usual_attendance"("member_id", "site_id", "weekday", "from_time");

-- CreateIndex
CREATE INDEX "own_hours_member_id_idx" ON "own_hours"("member_id");

-- CreateIndex
CREATE INDEX "own_hours_site_id_idx" ON "own_hours"("site_id");

-- CreateIndex
CREATE UNIQUE INDEX "cure_product_name_key" ON "cure_product"("name");

-- CreateIndex
CREATE UNIQUE INDEX "build_name_key" ON "build"("name");

-- CreateIndex
CREATE UNIQUE INDEX "build_launch_task_id_key" ON "build"("launch_task_id");

-- CreateIndex
CREATE INDEX "build_place_id_idx" ON "build"("place_id");

-- CreateIndex
CREATE INDEX "build_member_member_id_idx" ON "build_member"("member_id");

-- CreateIndex
CREATE INDEX "phase_build_id_position_idx" ON "phase"("build_id", "position");

-- CreateIndex
CREATE INDEX "task_build_id_position_idx" ON "task"("build_id", "position");

-- CreateIndex
CREATE INDEX "task_phase_id_idx" ON "task"("phase_id");

-- CreateIndex
CREATE INDEX "task_product_id_idx" ON "task"("product_id");

-- CreateIndex
CREATE INDEX "step_task_id_position_idx" ON "step"("task_id", "position");

-- CreateIndex
CREATE INDEX "task_place_place_id_idx" ON "task_place"("place_id");

-- CreateIndex
CREATE INDEX "task_tool_tool_id_idx" ON "task_tool"("tool_id");

-- CreateIndex
CREATE INDEX "task_material_task_id_idx" ON "task_material"("task_id");

-- CreateIndex
CREATE INDEX "link_build_id_idx" ON "link"("build_id");

-- CreateIndex
CREATE INDEX "link_to_id_idx" ON "link"("to_id");

-- CreateIndex
CREATE UNIQUE INDEX "link_from_id_to_id_kind_key" ON "link"("from_id", "to_id", "kind");

-- CreateIndex
CREATE INDEX "hold_build_id_idx" ON "hold"("build_id");

-- CreateIndex
CREATE INDEX "hold_tool_id_idx" ON "hold"("tool_id");

-- CreateIndex
CREATE INDEX "hold_from_task_id_idx" ON "hold"("from_task_id");

-- CreateIndex
CREATE INDEX "hold_to_task_id_idx" ON "hold"("to_task_id");

-- CreateIndex
CREATE UNIQUE INDEX "work_log_reverses_id_key" ON "work_log"("reverses_id");

-- CreateIndex
CREATE INDEX "work_log_task_id_idx" ON "work_log"("task_id");

-- CreateIndex
CREATE INDEX "work_log_build_id_started_at_idx" ON "work_log"("build_id", "started_at");

-- CreateIndex
CREATE INDEX "work_log_session_id_idx" ON "work_log"("session_id");

-- CreateIndex
CREATE INDEX "work_log_person_member_id_idx" ON "work_log_person"("member_id");

-- CreateIndex
CREATE UNIQUE INDEX "coat_task_id_key" ON "coat"("task_id");

-- CreateIndex
CREATE INDEX "coat_place_id_idx" ON "coat"("place_id");

-- CreateIndex
CREATE INDEX "coat_product_id_idx" ON "coat"("product_id");

-- CreateIndex
CREATE INDEX "stage_finding_coat_id_idx" ON "stage_finding"("coat_id");

-- CreateIndex
CREATE INDEX "pin_task_id_idx" ON "pin"("task_id");

-- CreateIndex
CREATE INDEX "plan_piece_plan_id_starts_at_idx" ON "plan_piece"("plan_id", "starts_at");

-- CreateIndex
CREATE INDEX "plan_piece_plan_id_build_id_idx" ON "plan_piece"("plan_id", "build_id");

-- CreateIndex
CREATE INDEX "plan_build_build_id_idx" ON "plan_build"("build_id");

-- AddForeignKey
ALTER TABLE "sign_in_user" ADD CONSTRAINT "sign_in_user_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "sign_in" ADD CONSTRAINT "sign_in_user_id_fkey" FOREIGN KEY ("user_id") REFERENCES "sign_in_user"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "invitation" ADD CONSTRAINT "invitation_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "member_competence" ADD CONSTRAINT "member_competence_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "member_competence" ADD CONSTRAINT "member_competence_competence_id_fkey" FOREIGN KEY ("competence_id") REFERENCES "competence"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "site" ADD CONSTRAINT "site_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "place" ADD CONSTRAINT "place_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "place_reading" ADD CONSTRAINT "place_reading_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "place_closure" ADD CONSTRAINT "place_closure_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "tool" ADD CONSTRAINT "tool_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "tool" ADD CONSTRAINT "tool_competence_id_fkey" FOREIGN KEY ("competence_id") REFERENCES "competence"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "tool_outage" ADD CONSTRAINT "tool_outage_tool_id_fkey" FOREIGN KEY ("tool_id") REFERENCES "tool"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "series" ADD CONSTRAINT "series_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_series_id_fkey" FOREIGN KEY ("series_id") REFERENCES "series"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_keyholder_id_fkey" FOREIGN KEY ("keyholder_id") REFERENCES "member"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "attendance" ADD CONSTRAINT "attendance_session_id_fkey" FOREIGN KEY ("session_id") REFERENCES "session"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "attendance" ADD CONSTRAINT "attendance_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "usual_attendance" ADD CONSTRAINT "usual_attendance_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "usual_attendance" ADD CONSTRAINT "usual_attendance_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "own_hours" ADD CONSTRAINT "own_hours_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "own_hours" ADD CONSTRAINT "own_hours_site_id_fkey" FOREIGN KEY ("site_id") REFERENCES "site"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "build" ADD CONSTRAINT "build_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "build" ADD CONSTRAINT "build_launch_task_id_fkey" FOREIGN KEY ("launch_task_id") REFERENCES "task"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "build_member" ADD CONSTRAINT "build_member_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "build_member" ADD CONSTRAINT "build_member_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "phase" ADD CONSTRAINT "phase_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task" ADD CONSTRAINT "task_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task" ADD CONSTRAINT "task_phase_id_fkey" FOREIGN KEY ("phase_id") REFERENCES "phase"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task" ADD CONSTRAINT "task_product_id_fkey" FOREIGN KEY ("product_id") REFERENCES "cure_product"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "step" ADD CONSTRAINT "step_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_place" ADD CONSTRAINT "task_place_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_place" ADD CONSTRAINT "task_place_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_tool" ADD CONSTRAINT "task_tool_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_tool" ADD CONSTRAINT "task_tool_tool_id_fkey" FOREIGN KEY ("tool_id") REFERENCES "tool"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_competence" ADD CONSTRAINT "task_competence_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "link" ADD CONSTRAINT "link_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "link" ADD CONSTRAINT "link_from_id_fkey" FOREIGN KEY ("from_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "link" ADD CONSTRAINT "link_to_id_fkey" FOREIGN KEY ("to_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_tool_id_fkey" FOREIGN KEY ("tool_id") REFERENCES "tool"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_from_task_id_fkey" FOREIGN KEY ("from_task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "hold" ADD CONSTRAINT "hold_to_task_id_fkey" FOREIGN KEY ("to_task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "work_log" ADD CONSTRAINT "work_log_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "work_log" ADD CONSTRAINT "work_log_session_id_fkey" FOREIGN KEY ("session_id") REFERENCES "session"("id") ON DELETE SET NULL ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "work_log_person" ADD CONSTRAINT "work_log_person_work_log_id_fkey" FOREIGN KEY ("work_log_id") REFERENCES "work_log"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "work_log_person" ADD CONSTRAINT "work_log_person_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "coat" ADD CONSTRAINT "coat_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "coat" ADD CONSTRAINT "coat_product_id_fkey" FOREIGN KEY ("product_id") REFERENCES "cure_product"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "coat" ADD CONSTRAINT "coat_place_id_fkey" FOREIGN KEY ("place_id") REFERENCES "place"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "stage_finding" ADD CONSTRAINT "stage_finding_coat_id_fkey" FOREIGN KEY ("coat_id") REFERENCES "coat"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "pin" ADD CONSTRAINT "pin_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "close_out" ADD CONSTRAINT "close_out_session_id_fkey" FOREIGN KEY ("session_id") REFERENCES "session"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_piece" ADD CONSTRAINT "plan_piece_plan_id_fkey" FOREIGN KEY ("plan_id") REFERENCES "plan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_build" ADD CONSTRAINT "plan_build_plan_id_fkey" FOREIGN KEY ("plan_id") REFERENCES "plan"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_build" ADD CONSTRAINT "plan_build_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- Checks: what no client, whichever, may write.
ALTER TABLE "club" ADD CONSTRAINT "club_one_row" CHECK (id = 1);
ALTER TABLE "club" ADD CONSTRAINT "club_units" CHECK (units IN ('metric', 'imperial'));
ALTER TABLE "club" ADD CONSTRAINT "club_missed_window_days" CHECK (missed_window_days BETWEEN 0 AND 60);
ALTER TABLE "member" ADD CONSTRAINT "member_name" CHECK (length(btrim(name)) BETWEEN 1 AND 120);
ALTER TABLE "site" ADD CONSTRAINT "site_home_has_member" CHECK ((kind = 'home') = (member_id IS NOT NULL));
ALTER TABLE "place" ADD CONSTRAINT "place_bays" CHECK (bays BETWEEN 0 AND 50);
ALTER TABLE "place" ADD CONSTRAINT "place_twelve_months" CHECK (cardinality(monthly_air) = 12 AND cardinality(monthly_dew) = 12);
ALTER TABLE "place" ADD CONSTRAINT "place_minutes" CHECK (heat_before_min BETWEEN 0 AND 10080 AND settle_min BETWEEN 0 AND 10080 AND half_swing BETWEEN 0 AND 25);
ALTER TABLE "place_reading" ADD CONSTRAINT "place_reading_range" CHECK (air BETWEEN -40 AND 60 AND (humidity IS NULL OR humidity BETWEEN 0 AND 100));
ALTER TABLE "place_closure" ADD CONSTRAINT "place_closure_order" CHECK (starts < ends);
ALTER TABLE "tool" ADD CONSTRAINT "tool_count" CHECK (count BETWEEN 0 AND 1000);
ALTER TABLE "tool_outage" ADD CONSTRAINT "tool_outage_order" CHECK (count >= 1 AND (to_on IS NULL OR from_on <= to_on));
ALTER TABLE "series" ADD CONSTRAINT "series_order" CHECK (weekday BETWEEN 1 AND 7 AND starts < ends AND from_on <= until_on AND every_weeks BETWEEN 1 AND 8);
ALTER TABLE "series" ADD CONSTRAINT "series_times" CHECK (starts ~ '^([01][0-9]|2[0-3]):[0-5][0-9]$' AND ends ~ '^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$');
ALTER TABLE "session" ADD CONSTRAINT "session_order" CHECK (starts < ends);
ALTER TABLE "session" ADD CONSTRAINT "session_times" CHECK (starts ~ '^([01][0-9]|2[0-3]):[0-5][0-9]$' AND ends ~ '^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$');
ALTER TABLE "attendance" ADD CONSTRAINT "attendance_order" CHECK (from_time IS NULL OR to_time IS NULL OR from_time < to_time);
ALTER TABLE "usual_attendance" ADD CONSTRAINT "usual_order" CHECK (weekday BETWEEN 1 AND 7 AND from_time < to_time);
ALTER TABLE "own_hours" ADD CONSTRAINT "own_hours_order" CHECK (weekday BETWEEN 1 AND 7 AND from_time < to_time AND (until_on IS NULL OR from_on <= until_on));
ALTER TABLE "cure_product" ADD CONSTRAINT "cure_product_window" CHECK (opens_min IS NULL OR closes_min IS NULL OR opens_min < closes_min);
ALTER TABLE "cure_product" ADD CONSTRAINT "cure_product_minutes" CHECK (
  coalesce(workable_min, 0) >= 0 AND coalesce(dust_free_min, 0) >= 0 AND coalesce(opens_min, 0) >= 0 AND coalesce(closes_min, 0) >= 0
  AND coalesce(closes_cap_min, 1) > 0 AND coalesce(sandable_min, 0) >= 0 AND coalesce(handleable_min, 0) >= 0 AND coalesce(full_cure_min, 0) >= 0);
ALTER TABLE "cure_product" ADD CONSTRAINT "cure_product_energies" CHECK (film_energy_low >= 0 AND film_energy_low <= film_energy_high AND film_energy_high <= 200);
ALTER TABLE "cure_product" ADD CONSTRAINT "cure_product_pot" CHECK (pot_life_min IS NULL OR (pot_mass_g IS NOT NULL AND pot_temp IS NOT NULL));
ALTER TABLE "cure_product" ADD CONSTRAINT "cure_product_ratio" CHECK (
  (ratio_a IS NULL AND ratio_b IS NULL AND ratio_by IS NULL) OR (ratio_a > 0 AND ratio_b > 0 AND ratio_by IS NOT NULL));
ALTER TABLE "build" ADD CONSTRAINT "build_priority" CHECK (priority > 0 AND priority <= 100);
ALTER TABLE "task" ADD CONSTRAINT "task_work" CHECK (work_low_min >= 0 AND work_low_min <= work_likely_min AND work_likely_min <= work_high_min);
ALTER TABLE "task" ADD CONSTRAINT "task_hands" CHECK (hands_from >= 0 AND hands_from <= hands_to AND hands_to <= 50 AND (kind = 'unattended' OR hands_from >= 1));
ALTER TABLE "task" ADD CONSTRAINT "task_minutes" CHECK (set_up_min >= 0 AND clear_up_min >= 0 AND (smallest_min IS NULL OR smallest_min >= 1));
ALTER TABLE "task" ADD CONSTRAINT "task_coat_in_one_go" CHECK (product_id IS NULL OR smallest_min IS NULL);
ALTER TABLE "task" ADD CONSTRAINT "task_finish_order" CHECK (finished_at IS NULL OR started_at IS NULL OR started_at <= finished_at);
ALTER TABLE "task_tool" ADD CONSTRAINT "task_tool_count" CHECK (count >= 1);
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_range" CHECK (low >= 0 AND low <= likely AND likely <= high);
ALTER TABLE "step" ADD CONSTRAINT "step_weight" CHECK (weight >= 1);
ALTER TABLE "link" ADD CONSTRAINT "link_not_itself" CHECK (from_id <> to_id);
ALTER TABLE "link" ADD CONSTRAINT "link_shape" CHECK (
  (kind <> 'stage' OR stage IS NOT NULL) AND (kind = 'stage' OR stage IS NULL) AND edge IN ('start', 'finish')
  AND (kind = 'window' OR wash_min IS NULL) AND (min_lag_min IS NULL OR max_lag_min IS NULL OR min_lag_min <= max_lag_min)
  AND (kind <> 'lag' OR min_lag_min IS NOT NULL OR max_lag_min IS NOT NULL));
ALTER TABLE "hold" ADD CONSTRAINT "hold_amount" CHECK (amount >= 1);
ALTER TABLE "work_log" ADD CONSTRAINT "work_log_minutes" CHECK (elapsed_min BETWEEN 1 AND 2880 AND worked_min BETWEEN 0 AND elapsed_min);
ALTER TABLE "coat" ADD CONSTRAINT "coat_order" CHECK (started_at <= ended_at);
ALTER TABLE "pin" ADD CONSTRAINT "pin_order" CHECK (starts_at < ends_at);
ALTER TABLE "plan_piece" ADD CONSTRAINT "plan_piece_order" CHECK (starts_at <= ends_at);

-- Logged hours and the audit trail are only ever added to.
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is only ever added to: reverse the entry instead', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$;
CREATE TRIGGER work_log_only_added BEFORE UPDATE OR DELETE ON "work_log" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER work_log_person_only_added BEFORE UPDATE OR DELETE ON "work_log_person" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER audit_row_only_added BEFORE UPDATE OR DELETE ON "audit_row" FOR EACH ROW EXECUTE FUNCTION refuse_change();
