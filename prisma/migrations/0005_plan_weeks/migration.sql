-- What could be done otherwise in a session that has begun; offered, never done unasked.
ALTER TABLE "plan" ADD COLUMN "suggestions" JSONB NOT NULL DEFAULT '[]';

-- What the first plan of each week meant for it, kept when the pieces of old plans are pruned.
CREATE TABLE "build_week" (
    "build_id" UUID NOT NULL,
    "monday" DATE NOT NULL,
    "available_min" INTEGER NOT NULL,
    "planned_min" INTEGER NOT NULL,
    "left_min" INTEGER NOT NULL,
    "launch_at" TIMESTAMPTZ,

    CONSTRAINT "build_week_pkey" PRIMARY KEY ("build_id", "monday")
);
ALTER TABLE "build_week" ADD CONSTRAINT "build_week_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "build_week" ADD CONSTRAINT "build_week_minutes" CHECK (available_min >= 0 AND planned_min >= 0 AND left_min >= 0);
ALTER TABLE "build_week" ADD CONSTRAINT "build_week_monday" CHECK (extract(isodow FROM monday) = 1);
