-- Snags, the log and its photos, forecasts, baselines, week reviews, guests' links, reminders.
CREATE TYPE "SnagBad" AS ENUM ('looks', 'before_next', 'before_launch', 'stop');
CREATE TYPE "LogKind" AS ENUM ('note', 'lesson', 'decision');
CREATE TYPE "Craft" AS ENUM ('wood', 'resin', 'sanding', 'finish', 'handling');
CREATE TYPE "ReviewState" AS ENUM ('draft', 'signed');
ALTER TABLE "build" ADD COLUMN "in_service_on" DATE;
ALTER TABLE "task" ADD COLUMN "craft" "Craft";
ALTER TABLE "build_week" ADD COLUMN "meant" JSONB NOT NULL DEFAULT '[]';

CREATE TABLE "stored_file" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "type" TEXT NOT NULL,
  "bytes" BYTEA NOT NULL,
  "created_at" TIMESTAMPTZ NOT NULL,
  CONSTRAINT "stored_file_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "stored_file_not_empty" CHECK (octet_length("bytes") > 0)
);

CREATE TABLE "snag" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "no" INTEGER NOT NULL,
  "kind" TEXT,
  "what" TEXT NOT NULL,
  "where_at" TEXT NOT NULL,
  "bad" "SnagBad" NOT NULL,
  "found_on" DATE NOT NULL,
  "found_by" UUID NOT NULL,
  "task_id" UUID,
  "rework_task_id" UUID,
  "closed_on" DATE,
  "closed_by" UUID,
  "closed_note" TEXT NOT NULL DEFAULT '',
  "created_at" TIMESTAMPTZ NOT NULL,
  "withdrawn_at" TIMESTAMPTZ,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "snag_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "snag_no_positive" CHECK ("no" > 0),
  CONSTRAINT "snag_said" CHECK ("what" <> ''),
  CONSTRAINT "snag_closed" CHECK (("closed_on" IS NULL) = ("closed_by" IS NULL)),
  CONSTRAINT "snag_closed_after_found" CHECK ("closed_on" >= "found_on"),
  CONSTRAINT "snag_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE,
  CONSTRAINT "snag_found_by_fkey" FOREIGN KEY ("found_by") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE,
  CONSTRAINT "snag_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE SET NULL ON UPDATE CASCADE,
  CONSTRAINT "snag_rework_task_id_fkey" FOREIGN KEY ("rework_task_id") REFERENCES "task"("id") ON DELETE SET NULL ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "snag_rework_task_id_key" ON "snag"("rework_task_id");
CREATE UNIQUE INDEX "snag_build_id_no_key" ON "snag"("build_id", "no");
CREATE INDEX "snag_task_id_idx" ON "snag"("task_id");
CREATE INDEX "snag_found_by_idx" ON "snag"("found_by");

CREATE TABLE "log_entry" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "kind" "LogKind" NOT NULL DEFAULT 'note',
  "text" TEXT NOT NULL,
  "at" TIMESTAMPTZ NOT NULL,
  "task_id" UUID,
  "snag_id" UUID,
  "by_id" UUID NOT NULL,
  "logged_at" TIMESTAMPTZ NOT NULL,
  "withdrawn_at" TIMESTAMPTZ,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "log_entry_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "log_entry_said" CHECK ("text" <> ''),
  CONSTRAINT "log_entry_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE,
  CONSTRAINT "log_entry_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE SET NULL ON UPDATE CASCADE,
  CONSTRAINT "log_entry_snag_id_fkey" FOREIGN KEY ("snag_id") REFERENCES "snag"("id") ON DELETE SET NULL ON UPDATE CASCADE,
  CONSTRAINT "log_entry_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE
);
CREATE INDEX "log_entry_build_id_at_idx" ON "log_entry"("build_id", "at");
CREATE INDEX "log_entry_task_id_idx" ON "log_entry"("task_id");
CREATE INDEX "log_entry_snag_id_idx" ON "log_entry"("snag_id");
CREATE INDEX "log_entry_by_id_idx" ON "log_entry"("by_id");

CREATE TABLE "photo" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "log_entry_id" UUID,
  "snag_id" UUID,
  "file_id" UUID NOT NULL,
  "small_id" UUID NOT NULL,
  "width" INTEGER NOT NULL,
  "height" INTEGER NOT NULL,
  "caption" TEXT NOT NULL DEFAULT '',
  "taken_on" DATE NOT NULL,
  "for_guests" BOOLEAN NOT NULL DEFAULT true,
  "by_id" UUID NOT NULL,
  "logged_at" TIMESTAMPTZ NOT NULL,
  CONSTRAINT "photo_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "photo_size" CHECK ("width" > 0 AND "height" > 0),
  CONSTRAINT "photo_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE,
  CONSTRAINT "photo_log_entry_id_fkey" FOREIGN KEY ("log_entry_id") REFERENCES "log_entry"("id") ON DELETE SET NULL ON UPDATE CASCADE,
  CONSTRAINT "photo_snag_id_fkey" FOREIGN KEY ("snag_id") REFERENCES "snag"("id") ON DELETE SET NULL ON UPDATE CASCADE,
  CONSTRAINT "photo_file_id_fkey" FOREIGN KEY ("file_id") REFERENCES "stored_file"("id") ON DELETE RESTRICT ON UPDATE CASCADE,
  CONSTRAINT "photo_small_id_fkey" FOREIGN KEY ("small_id") REFERENCES "stored_file"("id") ON DELETE RESTRICT ON UPDATE CASCADE,
  CONSTRAINT "photo_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "photo_file_id_key" ON "photo"("file_id");
CREATE UNIQUE INDEX "photo_small_id_key" ON "photo"("small_id");
CREATE INDEX "photo_build_id_taken_on_idx" ON "photo"("build_id", "taken_on");
CREATE INDEX "photo_log_entry_id_idx" ON "photo"("log_entry_id");
CREATE INDEX "photo_snag_id_idx" ON "photo"("snag_id");
CREATE INDEX "photo_by_id_idx" ON "photo"("by_id");
-- The search of the log: words in small letters. Signs that join words, or that PostgreSQL takes for letters where its ctype is C, part them.
CREATE FUNCTION log_words(said TEXT) RETURNS tsvector LANGUAGE sql IMMUTABLE PARALLEL SAFE
RETURN to_tsvector('simple'::regconfig, translate(lower(said), '/.-_@:&+~<>“”„‘’‚‹›«»–—…·•×°′″½¼¾²³', repeat(' ', 60)));
CREATE INDEX "log_entry_words" ON "log_entry" USING gin (log_words("text"));
CREATE INDEX "snag_words" ON "snag" USING gin (log_words("what" || ' ' || "where_at"));
CREATE INDEX "photo_words" ON "photo" USING gin (log_words("caption"));

CREATE TABLE "forecast" (
  "plan_id" BIGINT NOT NULL,
  "build_id" UUID NOT NULL,
  "made_at" TIMESTAMPTZ NOT NULL,
  "runs" INTEGER NOT NULL,
  "p10_at" TIMESTAMPTZ,
  "p50_at" TIMESTAMPTZ,
  "p80_at" TIMESTAMPTZ,
  "p90_at" TIMESTAMPTZ,
  "target_on" DATE,
  "target_chance" DOUBLE PRECISION,
  "drivers" JSONB NOT NULL,
  "catch_up" JSONB NOT NULL,
  "inputs" JSONB NOT NULL,
  "step" JSONB,
  "took_ms" INTEGER NOT NULL,
  CONSTRAINT "forecast_pkey" PRIMARY KEY ("plan_id", "build_id"),
  CONSTRAINT "forecast_runs_positive" CHECK ("runs" > 0),
  CONSTRAINT "forecast_order" CHECK ("p10_at" <= "p50_at" AND "p50_at" <= "p80_at" AND "p80_at" <= "p90_at"),
  CONSTRAINT "forecast_chance" CHECK ("target_chance" BETWEEN 0 AND 1),
  CONSTRAINT "forecast_plan_id_fkey" FOREIGN KEY ("plan_id") REFERENCES "plan"("id") ON DELETE CASCADE ON UPDATE CASCADE,
  CONSTRAINT "forecast_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE INDEX "forecast_build_id_made_at_idx" ON "forecast"("build_id", "made_at");

CREATE TABLE "baseline" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "no" INTEGER NOT NULL,
  "agreed_at" TIMESTAMPTZ NOT NULL,
  "agreed_by" UUID NOT NULL,
  "reason" TEXT NOT NULL,
  "plan_id" BIGINT,
  "launch_at" TIMESTAMPTZ,
  "target_on" DATE,
  "total_min" INTEGER NOT NULL,
  "budget_cents" BIGINT,
  "unpriced" TEXT[] NOT NULL DEFAULT ARRAY[]::TEXT[],
  "mass_g" INTEGER,
  CONSTRAINT "baseline_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "baseline_no_positive" CHECK ("no" > 0),
  CONSTRAINT "baseline_not_empty" CHECK ("total_min" > 0),
  CONSTRAINT "baseline_reason_when_anew" CHECK ("no" = 1 OR "reason" <> ''),
  CONSTRAINT "baseline_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "baseline_build_id_no_key" ON "baseline"("build_id", "no");

CREATE TABLE "baseline_task" (
  "baseline_id" UUID NOT NULL,
  "task_id" UUID NOT NULL,
  "name" TEXT NOT NULL,
  "phase" TEXT NOT NULL,
  "minutes" INTEGER NOT NULL,
  "starts_at" TIMESTAMPTZ,
  "ends_at" TIMESTAMPTZ,
  "cents" BIGINT,
  "share_done" DOUBLE PRECISION NOT NULL DEFAULT 0,
  "by_steps" BOOLEAN NOT NULL DEFAULT false,
  CONSTRAINT "baseline_task_pkey" PRIMARY KEY ("baseline_id", "task_id"),
  CONSTRAINT "baseline_task_share" CHECK ("share_done" BETWEEN 0 AND 1),
  CONSTRAINT "baseline_task_minutes" CHECK ("minutes" >= 0),
  CONSTRAINT "baseline_task_order" CHECK ("starts_at" <= "ends_at"),
  CONSTRAINT "baseline_task_baseline_id_fkey" FOREIGN KEY ("baseline_id") REFERENCES "baseline"("id") ON DELETE CASCADE ON UPDATE CASCADE
);

CREATE TABLE "week_review" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "monday" DATE NOT NULL,
  "no" INTEGER NOT NULL,
  "state" "ReviewState" NOT NULL DEFAULT 'draft',
  "edits" JSONB NOT NULL DEFAULT '{}',
  "facts" JSONB,
  "drafted_by" UUID NOT NULL,
  "drafted_at" TIMESTAMPTZ NOT NULL,
  "signed_by" UUID,
  "signed_at" TIMESTAMPTZ,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "week_review_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "week_review_no_positive" CHECK ("no" > 0),
  CONSTRAINT "week_review_monday" CHECK (extract(isodow from "monday") = 1),
  CONSTRAINT "week_review_signed" CHECK (("state" = 'signed') = ("signed_at" IS NOT NULL) AND ("state" = 'signed') = ("signed_by" IS NOT NULL) AND ("state" = 'signed') = ("facts" IS NOT NULL)),
  CONSTRAINT "week_review_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "week_review_build_id_monday_key" ON "week_review"("build_id", "monday");
CREATE INDEX "week_review_monday_idx" ON "week_review"("monday");

CREATE TABLE "guest_link" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "digest" TEXT NOT NULL,
  "label" TEXT NOT NULL,
  "money" BOOLEAN NOT NULL DEFAULT false,
  "names" BOOLEAN NOT NULL DEFAULT false,
  "photos" BOOLEAN NOT NULL DEFAULT true,
  "snags" BOOLEAN NOT NULL DEFAULT false,
  "log" BOOLEAN NOT NULL DEFAULT false,
  "created_by" UUID NOT NULL,
  "created_at" TIMESTAMPTZ NOT NULL,
  "until_on" DATE,
  "revoked_at" TIMESTAMPTZ,
  "revoked_by" UUID,
  "last_seen_at" TIMESTAMPTZ,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "guest_link_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "guest_link_label" CHECK ("label" <> ''),
  CONSTRAINT "guest_link_revoked" CHECK (("revoked_at" IS NULL) = ("revoked_by" IS NULL)),
  CONSTRAINT "guest_link_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "guest_link_digest_key" ON "guest_link"("digest");
CREATE INDEX "guest_link_build_id_idx" ON "guest_link"("build_id");

CREATE TABLE "reminder_wish" (
  "member_id" UUID NOT NULL,
  "windows" BOOLEAN NOT NULL DEFAULT false,
  "sessions" BOOLEAN NOT NULL DEFAULT false,
  "quiet_from" TEXT NOT NULL DEFAULT '21:30',
  "quiet_to" TEXT NOT NULL DEFAULT '07:30',
  "stop_key" TEXT NOT NULL,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "reminder_wish_pkey" PRIMARY KEY ("member_id"),
  CONSTRAINT "reminder_wish_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "reminder_wish_stop_key_key" ON "reminder_wish"("stop_key");

CREATE TABLE "mail" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "member_id" UUID NOT NULL,
  "kind" TEXT NOT NULL,
  "about" TEXT NOT NULL,
  "subject" TEXT NOT NULL,
  "text" TEXT NOT NULL,
  "send_at" TIMESTAMPTZ NOT NULL,
  "useless_at" TIMESTAMPTZ NOT NULL,
  "marked_at" TIMESTAMPTZ,
  "sent_at" TIMESTAMPTZ,
  "failure" TEXT NOT NULL DEFAULT '',
  "created_at" TIMESTAMPTZ NOT NULL,
  CONSTRAINT "mail_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "mail_marked_first" CHECK ("sent_at" IS NULL OR "marked_at" <= "sent_at"),
  CONSTRAINT "mail_useless_later" CHECK ("send_at" <= "useless_at"),
  CONSTRAINT "mail_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE UNIQUE INDEX "mail_member_id_about_key" ON "mail"("member_id", "about");
CREATE INDEX "mail_send_at_idx" ON "mail"("send_at");

-- What was agreed and what was signed stays as it was, whoever asks the database. A build that goes takes its own with it.
CREATE FUNCTION refuse_change_of_agreed() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF pg_trigger_depth() > 1 AND TG_OP = 'DELETE' THEN RETURN OLD; END IF;
  RAISE EXCEPTION '% keeps what was agreed or signed', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
END $$;
CREATE TRIGGER baseline_stays BEFORE UPDATE OR DELETE ON "baseline" FOR EACH ROW EXECUTE FUNCTION refuse_change_of_agreed();
CREATE TRIGGER baseline_task_stays BEFORE UPDATE OR DELETE ON "baseline_task" FOR EACH ROW EXECUTE FUNCTION refuse_change_of_agreed();
CREATE TRIGGER week_review_stays BEFORE UPDATE OR DELETE ON "week_review" FOR EACH ROW WHEN (OLD."state" = 'signed') EXECUTE FUNCTION refuse_change_of_agreed();
CREATE TRIGGER baseline_kept BEFORE TRUNCATE ON "baseline" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_agreed();
CREATE TRIGGER baseline_task_kept BEFORE TRUNCATE ON "baseline_task" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_agreed();
CREATE TRIGGER week_review_kept BEFORE TRUNCATE ON "week_review" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change_of_agreed();
