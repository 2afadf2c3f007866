-- Measurements of panels and seams, what the estimate's rules are in this club, weigh-ins, option sheets.
CREATE TYPE "Skill" AS ENUM ('first', 'some', 'practised');
ALTER TABLE "build" ADD COLUMN "geometry" JSONB NOT NULL DEFAULT '{}';
ALTER TABLE "build" ADD COLUMN "skill" "Skill" NOT NULL DEFAULT 'some';
ALTER TABLE "build" ADD COLUMN "mass_target_g" INTEGER;
ALTER TABLE "build" ADD CONSTRAINT "build_mass_target_positive" CHECK ("mass_target_g" > 0);
ALTER TABLE "build" ADD CONSTRAINT "build_geometry_object" CHECK (jsonb_typeof("geometry") = 'object');

ALTER TABLE "task_material" ADD COLUMN "line" TEXT;
ALTER TABLE "task_material" ADD COLUMN "rule_key" TEXT;
ALTER TABLE "task_material" ADD COLUMN "factor" DOUBLE PRECISION NOT NULL DEFAULT 1;
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_factor_positive" CHECK ("factor" > 0);
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_line_has_rule" CHECK (("line" IS NULL) = ("rule_key" IS NULL));

CREATE TABLE "estimate_rule" (
  "key" TEXT NOT NULL,
  "low" DOUBLE PRECISION NOT NULL,
  "likely" DOUBLE PRECISION NOT NULL,
  "high" DOUBLE PRECISION NOT NULL,
  "note" TEXT NOT NULL DEFAULT '',
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "estimate_rule_pkey" PRIMARY KEY ("key"),
  CONSTRAINT "estimate_rule_spread" CHECK (0 <= "low" AND "low" <= "likely" AND "likely" <= "high"),
  CONSTRAINT "estimate_rule_fraction" CHECK ("key" NOT LIKE 'glassFraction%' OR ("low" > 0 AND "high" < 1))
);

CREATE TABLE "learned_off" (
  "rule_key" TEXT NOT NULL,
  "skill" "Skill" NOT NULL,
  CONSTRAINT "learned_off_pkey" PRIMARY KEY ("rule_key", "skill")
);

CREATE TABLE "weigh_in" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "weighed_on" DATE NOT NULL,
  "mass_g" INTEGER NOT NULL,
  "what" TEXT NOT NULL,
  "is_whole" BOOLEAN NOT NULL DEFAULT true,
  "note" TEXT NOT NULL DEFAULT '',
  "logged_by" UUID NOT NULL,
  "logged_at" TIMESTAMPTZ NOT NULL,
  "withdrawn_at" TIMESTAMPTZ,
  CONSTRAINT "weigh_in_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "weigh_in_mass_positive" CHECK ("mass_g" > 0),
  CONSTRAINT "weigh_in_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE INDEX "weigh_in_build_id_weighed_on_idx" ON "weigh_in"("build_id", "weighed_on");

CREATE TABLE "option_sheet" (
  "id" UUID NOT NULL DEFAULT gen_random_uuid(),
  "build_id" UUID NOT NULL,
  "question" TEXT NOT NULL,
  "options" JSONB NOT NULL,
  "results" JSONB,
  "worked_at" TIMESTAMPTZ,
  "plan_id" BIGINT,
  "taken_index" INTEGER,
  "taken_at" TIMESTAMPTZ,
  "taken_by" UUID,
  "designer_said" TEXT NOT NULL DEFAULT '',
  "created_by" UUID NOT NULL,
  "created_at" TIMESTAMPTZ NOT NULL,
  "version" INTEGER NOT NULL DEFAULT 1,
  CONSTRAINT "option_sheet_pkey" PRIMARY KEY ("id"),
  CONSTRAINT "option_sheet_two_to_four" CHECK (jsonb_typeof("options") = 'array' AND jsonb_array_length("options") BETWEEN 2 AND 4),
  CONSTRAINT "option_sheet_worked" CHECK (("results" IS NULL) = ("worked_at" IS NULL)),
  CONSTRAINT "option_sheet_taken" CHECK (("taken_index" IS NULL) = ("taken_at" IS NULL) AND ("taken_index" IS NULL) = ("taken_by" IS NULL) AND "taken_index" BETWEEN 0 AND 3),
  CONSTRAINT "option_sheet_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE
);
CREATE INDEX "option_sheet_build_id_created_at_idx" ON "option_sheet"("build_id", "created_at");
