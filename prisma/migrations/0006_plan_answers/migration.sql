-- Which plan answers a request. Numbers alone don't tell: a request may be committed after a later one was answered.
ALTER TABLE "plan_request" ADD COLUMN "plan_id" BIGINT;
ALTER TABLE "plan_request" ADD CONSTRAINT "plan_request_plan_id_fkey" FOREIGN KEY ("plan_id") REFERENCES "plan"("id") ON DELETE SET NULL ON UPDATE CASCADE;
CREATE INDEX "plan_request_plan_id_idx" ON "plan_request"("plan_id");
