-- The wash and sand of a missed window needs tools of its own (a sander), not those of the coat it is for.
ALTER TABLE "link" ADD COLUMN "wash_tool_ids" UUID[] NOT NULL DEFAULT '{}';
