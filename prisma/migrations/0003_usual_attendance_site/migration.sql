-- A site is looked up from here when it is changed.
CREATE INDEX "usual_attendance_site_id_idx" ON "usual_attendance"("site_id");
