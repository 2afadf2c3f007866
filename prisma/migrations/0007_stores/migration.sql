-- The stores: items, lots, the ledger, orders, batches, charges; then what Prisma can't say: checks and triggers.

CREATE TYPE "StockUnit" AS ENUM ('g', 'ml', 'm', 'm2', 'pcs');
CREATE TYPE "ItemKind" AS ENUM ('resin', 'hardener', 'filler', 'cloth', 'tape', 'ply', 'timber', 'fastener', 'paint', 'solvent', 'abrasive', 'protective', 'other');
CREATE TYPE "LotState" AS ENUM ('fresh', 'test_first', 'not_structural', 'discard');
CREATE TYPE "EntryKind" AS ENUM ('receipt', 'draw', 'return', 'transfer', 'write_off', 'stocktake', 'price_correction', 'reversal');
CREATE TYPE "LoanKind" AS ENUM ('lend', 'give_back');
CREATE TYPE "CostRule" AS ENUM ('average', 'fifo');
CREATE TYPE "OrderState" AS ENUM ('open', 'received', 'cancelled');

CREATE TABLE "plan_need" (
    "plan_id" BIGINT NOT NULL,
    "task_id" UUID NOT NULL,
    "item_id" UUID NOT NULL,
    "build_id" UUID NOT NULL,
    "structural" BOOLEAN NOT NULL,
    "amount_milli" BIGINT NOT NULL,
    "wanted_at" TIMESTAMPTZ,
    "covered_at" TIMESTAMPTZ NOT NULL,
    "short_milli" BIGINT NOT NULL,

    CONSTRAINT "plan_need_pkey" PRIMARY KEY ("plan_id", "task_id", "item_id", "structural")
);

CREATE TABLE "material_name" (
    "name" TEXT NOT NULL,
    "item_id" UUID,
    "mixed" BOOLEAN NOT NULL DEFAULT false,

    CONSTRAINT "material_name_pkey" PRIMARY KEY ("name")
);

CREATE TABLE "supplier" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "address" TEXT NOT NULL DEFAULT '',
    "phone" TEXT NOT NULL DEFAULT '',
    "note" TEXT NOT NULL DEFAULT '',
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "supplier_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "item" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "name" TEXT NOT NULL,
    "kind" "ItemKind" NOT NULL,
    "unit" "StockUnit" NOT NULL,
    "density" DOUBLE PRECISION,
    "width_mm" DOUBLE PRECISION,
    "length_mm" DOUBLE PRECISION,
    "thickness_mm" DOUBLE PRECISION,
    "areal_mass" DOUBLE PRECISION,
    "shelf" TEXT NOT NULL DEFAULT '',
    "lead_days" INTEGER NOT NULL DEFAULT 14,
    "safety_milli" BIGINT NOT NULL DEFAULT 0,
    "shelf_life_days" INTEGER,
    "opened_life_days" INTEGER,
    "is_shared" BOOLEAN NOT NULL DEFAULT false,
    "supplier_id" UUID,
    "note" TEXT NOT NULL DEFAULT '',
    "signal_word" TEXT NOT NULL DEFAULT '',
    "pictograms" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "hazards" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "precautions" TEXT[] DEFAULT ARRAY[]::TEXT[],
    "is_active" BOOLEAN NOT NULL DEFAULT true,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "item_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "item_pack" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "item_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "qty_milli" BIGINT NOT NULL,
    "price_cents" INTEGER NOT NULL,
    "order_code" TEXT NOT NULL DEFAULT '',
    "supplier_id" UUID,
    "is_active" BOOLEAN NOT NULL DEFAULT true,

    CONSTRAINT "item_pack_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "system" (
    "product_id" UUID NOT NULL,
    "resin_item_id" UUID NOT NULL,
    "hardener_item_id" UUID NOT NULL,
    "batch_limit_mg" BIGINT NOT NULL DEFAULT 300000,
    "scale_step_mg" BIGINT NOT NULL DEFAULT 1000,
    "stroke_resin_mg" BIGINT,
    "stroke_hardener_mg" BIGINT,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "system_pkey" PRIMARY KEY ("product_id")
);

CREATE TABLE "holder" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "member_id" UUID,

    CONSTRAINT "holder_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "lot" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "number" SERIAL NOT NULL,
    "item_id" UUID NOT NULL,
    "code" TEXT NOT NULL DEFAULT '',
    "supplier_id" UUID,
    "received_on" DATE NOT NULL,
    "opened_on" DATE,
    "expires_on" DATE,
    "state" "LotState" NOT NULL DEFAULT 'fresh',
    "tare_mg" BIGINT,
    "note" TEXT NOT NULL DEFAULT '',
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "lot_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "lot_test" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "lot_id" UUID NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "member_id" UUID NOT NULL,
    "found" TEXT NOT NULL,
    "state" "LotState" NOT NULL,
    "expires_on" DATE,

    CONSTRAINT "lot_test_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "stock_entry" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "seq" BIGSERIAL NOT NULL,
    "kind" "EntryKind" NOT NULL,
    "item_id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "holder_id" UUID NOT NULL,
    "qty_milli" BIGINT NOT NULL,
    "value_cents" INTEGER NOT NULL,
    "rule" "CostRule" NOT NULL,
    "on_date" DATE NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "by_id" UUID NOT NULL,
    "why" TEXT NOT NULL DEFAULT '',
    "build_id" UUID,
    "task_id" UUID,
    "batch_id" UUID,
    "charged_to_id" UUID,
    "of_entry_id" UUID,
    "reverses_id" UUID,
    "move_id" UUID,
    "loan" "LoanKind",
    "count_id" UUID,
    "order_id" UUID,

    CONSTRAINT "stock_entry_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "stock_account" (
    "item_id" UUID NOT NULL,
    "holder_id" UUID NOT NULL,
    "qty_milli" BIGINT NOT NULL DEFAULT 0,
    "value_cents" BIGINT NOT NULL DEFAULT 0,
    "layers" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "stock_account_pkey" PRIMARY KEY ("item_id", "holder_id")
);

CREATE TABLE "lot_balance" (
    "lot_id" UUID NOT NULL,
    "holder_id" UUID NOT NULL,
    "qty_milli" BIGINT NOT NULL DEFAULT 0,

    CONSTRAINT "lot_balance_pkey" PRIMARY KEY ("lot_id", "holder_id")
);

CREATE TABLE "stock_review" (
    "entry_id" UUID NOT NULL,
    "by_id" UUID NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "stock_review_pkey" PRIMARY KEY ("entry_id")
);

CREATE TABLE "stock_count" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "at" TIMESTAMPTZ NOT NULL,
    "by_id" UUID NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "stock_count_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "stock_count_line" (
    "count_id" UUID NOT NULL,
    "lot_id" UUID NOT NULL,
    "book_milli" BIGINT NOT NULL,
    "counted_milli" BIGINT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "stock_count_line_pkey" PRIMARY KEY ("count_id", "lot_id")
);

CREATE TABLE "batch" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "number" SERIAL NOT NULL,
    "product_id" UUID NOT NULL,
    "build_id" UUID,
    "task_id" UUID,
    "mixed_at" TIMESTAMPTZ NOT NULL,
    "by_id" UUID NOT NULL,
    "mass_mg" BIGINT NOT NULL,
    "ratio" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "batch_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "stock_order" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "number" SERIAL NOT NULL,
    "supplier_id" UUID,
    "ordered_on" DATE NOT NULL,
    "expected_on" DATE NOT NULL,
    "state" "OrderState" NOT NULL DEFAULT 'open',
    "note" TEXT NOT NULL DEFAULT '',
    "by_id" UUID NOT NULL,
    "version" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "stock_order_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "order_line" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "order_id" UUID NOT NULL,
    "item_id" UUID NOT NULL,
    "pack_id" UUID,
    "packs" INTEGER NOT NULL DEFAULT 1,
    "qty_milli" BIGINT NOT NULL,
    "price_cents" INTEGER NOT NULL,
    "received_milli" BIGINT NOT NULL DEFAULT 0,

    CONSTRAINT "order_line_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "cost_rule_change" (
    "id" BIGSERIAL NOT NULL,
    "rule" "CostRule" NOT NULL,
    "from_at" TIMESTAMPTZ NOT NULL,
    "by_id" UUID NOT NULL,
    "why" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "cost_rule_change_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "settlement" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "number" SERIAL NOT NULL,
    "at" TIMESTAMPTZ NOT NULL,
    "by_id" UUID NOT NULL,
    "shared_by" TEXT NOT NULL,
    "note" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "settlement_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "settlement_line" (
    "id" UUID NOT NULL DEFAULT gen_random_uuid(),
    "settlement_id" UUID NOT NULL,
    "build_id" UUID,
    "member_id" UUID,
    "own_cents" INTEGER NOT NULL,
    "shared_cents" INTEGER NOT NULL,

    CONSTRAINT "settlement_line_pkey" PRIMARY KEY ("id")
);

CREATE TABLE "settlement_entry" (
    "entry_id" UUID NOT NULL,
    "settlement_id" UUID NOT NULL,

    CONSTRAINT "settlement_entry_pkey" PRIMARY KEY ("entry_id")
);

ALTER TABLE "club" ADD COLUMN "shared_by" TEXT NOT NULL DEFAULT 'hours';
ALTER TABLE "task_material" ADD COLUMN "item_id" UUID, ADD COLUMN "product_id" UUID, ADD COLUMN "structural" BOOLEAN NOT NULL DEFAULT true;

CREATE INDEX "plan_need_task_id_idx" ON "plan_need"("task_id");
CREATE INDEX "plan_need_item_id_idx" ON "plan_need"("item_id");
CREATE INDEX "plan_need_build_id_idx" ON "plan_need"("build_id");
CREATE INDEX "material_name_item_id_idx" ON "material_name"("item_id");
CREATE UNIQUE INDEX "supplier_name_key" ON "supplier"("name");
CREATE UNIQUE INDEX "item_name_key" ON "item"("name");
CREATE INDEX "item_supplier_id_idx" ON "item"("supplier_id");
CREATE UNIQUE INDEX "item_pack_item_id_name_key" ON "item_pack"("item_id", "name");
CREATE INDEX "item_pack_supplier_id_idx" ON "item_pack"("supplier_id");
CREATE INDEX "system_resin_item_id_idx" ON "system"("resin_item_id");
CREATE INDEX "system_hardener_item_id_idx" ON "system"("hardener_item_id");
CREATE UNIQUE INDEX "holder_member_id_key" ON "holder"("member_id");
CREATE UNIQUE INDEX "lot_number_key" ON "lot"("number");
CREATE UNIQUE INDEX "lot_id_item_id_key" ON "lot"("id", "item_id");
CREATE INDEX "lot_item_id_idx" ON "lot"("item_id");
CREATE INDEX "lot_supplier_id_idx" ON "lot"("supplier_id");
CREATE INDEX "lot_test_lot_id_idx" ON "lot_test"("lot_id");
CREATE INDEX "lot_test_member_id_idx" ON "lot_test"("member_id");
CREATE UNIQUE INDEX "stock_entry_seq_key" ON "stock_entry"("seq");
CREATE UNIQUE INDEX "stock_entry_reverses_id_key" ON "stock_entry"("reverses_id");
CREATE INDEX "stock_entry_item_id_seq_idx" ON "stock_entry"("item_id", "seq");
CREATE INDEX "stock_entry_lot_id_item_id_idx" ON "stock_entry"("lot_id", "item_id");
CREATE INDEX "stock_entry_holder_id_idx" ON "stock_entry"("holder_id");
CREATE INDEX "stock_entry_build_id_task_id_idx" ON "stock_entry"("build_id", "task_id");
CREATE INDEX "stock_entry_task_id_idx" ON "stock_entry"("task_id");
CREATE INDEX "stock_entry_batch_id_idx" ON "stock_entry"("batch_id");
CREATE INDEX "stock_entry_charged_to_id_idx" ON "stock_entry"("charged_to_id");
CREATE INDEX "stock_entry_by_id_idx" ON "stock_entry"("by_id");
CREATE INDEX "stock_entry_of_entry_id_idx" ON "stock_entry"("of_entry_id");
CREATE INDEX "stock_entry_move_id_idx" ON "stock_entry"("move_id");
CREATE INDEX "stock_entry_count_id_idx" ON "stock_entry"("count_id");
CREATE INDEX "stock_entry_order_id_idx" ON "stock_entry"("order_id");
CREATE INDEX "stock_entry_weighed" ON "stock_entry"("seq") WHERE kind = 'stocktake' AND count_id IS NULL;
CREATE INDEX "stock_entry_loans" ON "stock_entry"("item_id") WHERE loan IS NOT NULL;
CREATE INDEX "stock_account_holder_id_idx" ON "stock_account"("holder_id");
CREATE INDEX "lot_balance_holder_id_idx" ON "lot_balance"("holder_id");
CREATE INDEX "stock_review_by_id_idx" ON "stock_review"("by_id");
CREATE INDEX "stock_count_by_id_idx" ON "stock_count"("by_id");
CREATE INDEX "stock_count_line_lot_id_idx" ON "stock_count_line"("lot_id");
CREATE UNIQUE INDEX "batch_number_key" ON "batch"("number");
CREATE INDEX "batch_product_id_idx" ON "batch"("product_id");
CREATE INDEX "batch_build_id_idx" ON "batch"("build_id");
CREATE INDEX "batch_task_id_idx" ON "batch"("task_id");
CREATE INDEX "batch_by_id_idx" ON "batch"("by_id");
CREATE UNIQUE INDEX "stock_order_number_key" ON "stock_order"("number");
CREATE INDEX "stock_order_supplier_id_idx" ON "stock_order"("supplier_id");
CREATE INDEX "stock_order_by_id_idx" ON "stock_order"("by_id");
CREATE INDEX "order_line_order_id_idx" ON "order_line"("order_id");
CREATE INDEX "order_line_item_id_idx" ON "order_line"("item_id");
CREATE INDEX "order_line_pack_id_idx" ON "order_line"("pack_id");
CREATE INDEX "cost_rule_change_by_id_idx" ON "cost_rule_change"("by_id");
CREATE UNIQUE INDEX "settlement_number_key" ON "settlement"("number");
CREATE INDEX "settlement_by_id_idx" ON "settlement"("by_id");
CREATE INDEX "settlement_line_settlement_id_idx" ON "settlement_line"("settlement_id");
CREATE INDEX "settlement_line_build_id_idx" ON "settlement_line"("build_id");
CREATE INDEX "settlement_line_member_id_idx" ON "settlement_line"("member_id");
CREATE INDEX "settlement_entry_settlement_id_idx" ON "settlement_entry"("settlement_id");
CREATE INDEX "task_material_item_id_idx" ON "task_material"("item_id");
CREATE INDEX "task_material_product_id_idx" ON "task_material"("product_id");

ALTER TABLE "plan_need" ADD CONSTRAINT "plan_need_plan_id_fkey" FOREIGN KEY ("plan_id") REFERENCES "plan"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "plan_need" ADD CONSTRAINT "plan_need_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "plan_need" ADD CONSTRAINT "plan_need_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "plan_need" ADD CONSTRAINT "plan_need_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "material_name" ADD CONSTRAINT "material_name_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "item" ADD CONSTRAINT "item_supplier_id_fkey" FOREIGN KEY ("supplier_id") REFERENCES "supplier"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "item_pack" ADD CONSTRAINT "item_pack_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "item_pack" ADD CONSTRAINT "item_pack_supplier_id_fkey" FOREIGN KEY ("supplier_id") REFERENCES "supplier"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "system" ADD CONSTRAINT "system_product_id_fkey" FOREIGN KEY ("product_id") REFERENCES "cure_product"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "system" ADD CONSTRAINT "system_resin_item_id_fkey" FOREIGN KEY ("resin_item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "system" ADD CONSTRAINT "system_hardener_item_id_fkey" FOREIGN KEY ("hardener_item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "holder" ADD CONSTRAINT "holder_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "lot" ADD CONSTRAINT "lot_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "lot" ADD CONSTRAINT "lot_supplier_id_fkey" FOREIGN KEY ("supplier_id") REFERENCES "supplier"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "lot_test" ADD CONSTRAINT "lot_test_lot_id_fkey" FOREIGN KEY ("lot_id") REFERENCES "lot"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "lot_test" ADD CONSTRAINT "lot_test_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_lot_id_item_id_fkey" FOREIGN KEY ("lot_id", "item_id") REFERENCES "lot"("id", "item_id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_holder_id_fkey" FOREIGN KEY ("holder_id") REFERENCES "holder"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_charged_to_id_fkey" FOREIGN KEY ("charged_to_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_batch_id_fkey" FOREIGN KEY ("batch_id") REFERENCES "batch"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_count_id_fkey" FOREIGN KEY ("count_id") REFERENCES "stock_count"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_order_id_fkey" FOREIGN KEY ("order_id") REFERENCES "stock_order"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_reverses_id_fkey" FOREIGN KEY ("reverses_id") REFERENCES "stock_entry"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_of_entry_id_fkey" FOREIGN KEY ("of_entry_id") REFERENCES "stock_entry"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_account" ADD CONSTRAINT "stock_account_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_account" ADD CONSTRAINT "stock_account_holder_id_fkey" FOREIGN KEY ("holder_id") REFERENCES "holder"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "lot_balance" ADD CONSTRAINT "lot_balance_lot_id_fkey" FOREIGN KEY ("lot_id") REFERENCES "lot"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "lot_balance" ADD CONSTRAINT "lot_balance_holder_id_fkey" FOREIGN KEY ("holder_id") REFERENCES "holder"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_review" ADD CONSTRAINT "stock_review_entry_id_fkey" FOREIGN KEY ("entry_id") REFERENCES "stock_entry"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_review" ADD CONSTRAINT "stock_review_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_count" ADD CONSTRAINT "stock_count_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_count_line" ADD CONSTRAINT "stock_count_line_count_id_fkey" FOREIGN KEY ("count_id") REFERENCES "stock_count"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "stock_count_line" ADD CONSTRAINT "stock_count_line_lot_id_fkey" FOREIGN KEY ("lot_id") REFERENCES "lot"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "batch" ADD CONSTRAINT "batch_product_id_fkey" FOREIGN KEY ("product_id") REFERENCES "cure_product"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "batch" ADD CONSTRAINT "batch_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "batch" ADD CONSTRAINT "batch_task_id_fkey" FOREIGN KEY ("task_id") REFERENCES "task"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "batch" ADD CONSTRAINT "batch_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "stock_order" ADD CONSTRAINT "stock_order_supplier_id_fkey" FOREIGN KEY ("supplier_id") REFERENCES "supplier"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "stock_order" ADD CONSTRAINT "stock_order_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "order_line" ADD CONSTRAINT "order_line_order_id_fkey" FOREIGN KEY ("order_id") REFERENCES "stock_order"("id") ON DELETE CASCADE ON UPDATE CASCADE;
ALTER TABLE "order_line" ADD CONSTRAINT "order_line_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "order_line" ADD CONSTRAINT "order_line_pack_id_fkey" FOREIGN KEY ("pack_id") REFERENCES "item_pack"("id") ON DELETE SET NULL ON UPDATE CASCADE;
ALTER TABLE "cost_rule_change" ADD CONSTRAINT "cost_rule_change_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement" ADD CONSTRAINT "settlement_by_id_fkey" FOREIGN KEY ("by_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement_line" ADD CONSTRAINT "settlement_line_settlement_id_fkey" FOREIGN KEY ("settlement_id") REFERENCES "settlement"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement_line" ADD CONSTRAINT "settlement_line_build_id_fkey" FOREIGN KEY ("build_id") REFERENCES "build"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement_line" ADD CONSTRAINT "settlement_line_member_id_fkey" FOREIGN KEY ("member_id") REFERENCES "member"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement_entry" ADD CONSTRAINT "settlement_entry_entry_id_fkey" FOREIGN KEY ("entry_id") REFERENCES "stock_entry"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "settlement_entry" ADD CONSTRAINT "settlement_entry_settlement_id_fkey" FOREIGN KEY ("settlement_id") REFERENCES "settlement"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_item_id_fkey" FOREIGN KEY ("item_id") REFERENCES "item"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_product_id_fkey" FOREIGN KEY ("product_id") REFERENCES "cure_product"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- The club itself has stock.
INSERT INTO "holder" ("id", "member_id") VALUES ('00000000-0000-4000-8000-000000000001', NULL);
CREATE UNIQUE INDEX "holder_one_club" ON "holder" ((member_id IS NULL)) WHERE member_id IS NULL;

ALTER TABLE "club" ADD CONSTRAINT "club_shared_by" CHECK (shared_by IN ('hours', 'equal', 'charges'));
ALTER TABLE "settlement" ADD CONSTRAINT "settlement_shared_by" CHECK (shared_by IN ('hours', 'equal', 'charges'));
ALTER TABLE "settlement_line" ADD CONSTRAINT "settlement_line_of" CHECK (num_nonnulls(build_id, member_id) = 1);
ALTER TABLE "task_material" ADD CONSTRAINT "task_material_of" CHECK (num_nonnulls(item_id, product_id) <= 1);
ALTER TABLE "material_name" ADD CONSTRAINT "material_name_of" CHECK (NOT (mixed AND item_id IS NOT NULL));
ALTER TABLE "plan_need" ADD CONSTRAINT "plan_need_amounts" CHECK (amount_milli > 0 AND short_milli BETWEEN 0 AND amount_milli);
ALTER TABLE "item" ADD CONSTRAINT "item_figures" CHECK (density > 0 AND width_mm > 0 AND length_mm > 0 AND thickness_mm > 0 AND areal_mass > 0
  AND lead_days BETWEEN 0 AND 730 AND safety_milli >= 0 AND shelf_life_days > 0 AND opened_life_days > 0);
ALTER TABLE "item" ADD CONSTRAINT "item_label" CHECK (signal_word IN ('', 'Warning', 'Danger')
  AND pictograms <@ ARRAY['GHS01', 'GHS02', 'GHS03', 'GHS04', 'GHS05', 'GHS06', 'GHS07', 'GHS08', 'GHS09']);
ALTER TABLE "item_pack" ADD CONSTRAINT "item_pack_figures" CHECK (qty_milli > 0 AND price_cents >= 0);
ALTER TABLE "system" ADD CONSTRAINT "system_figures" CHECK (batch_limit_mg > 0 AND scale_step_mg > 0 AND stroke_resin_mg > 0 AND stroke_hardener_mg > 0
  AND resin_item_id <> hardener_item_id);
ALTER TABLE "lot" ADD CONSTRAINT "lot_tare" CHECK (tare_mg >= 0);
ALTER TABLE "batch" ADD CONSTRAINT "batch_mass" CHECK (mass_mg > 0);
ALTER TABLE "stock_order" ADD CONSTRAINT "stock_order_dates" CHECK (expected_on >= ordered_on);
ALTER TABLE "order_line" ADD CONSTRAINT "order_line_figures" CHECK (packs > 0 AND qty_milli > 0 AND price_cents >= 0 AND received_milli >= 0);
ALTER TABLE "stock_count_line" ADD CONSTRAINT "stock_count_line_figures" CHECK (counted_milli >= 0);

-- What each kind of entry is.
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_signs" CHECK (CASE kind
  WHEN 'receipt' THEN qty_milli > 0 AND value_cents >= 0
  WHEN 'draw' THEN qty_milli < 0 AND value_cents <= 0
  WHEN 'return' THEN qty_milli > 0 AND value_cents >= 0
  WHEN 'transfer' THEN qty_milli <> 0 AND sign(qty_milli) * value_cents >= 0
  WHEN 'write_off' THEN qty_milli < 0 AND value_cents <= 0
  WHEN 'stocktake' THEN qty_milli <> 0 AND sign(qty_milli) * value_cents >= 0
  WHEN 'price_correction' THEN qty_milli = 0 AND value_cents <> 0
  ELSE true END);
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_points" CHECK (
  CASE kind WHEN 'return' THEN of_entry_id IS NOT NULL WHEN 'price_correction' THEN true ELSE of_entry_id IS NULL END
  AND (kind = 'reversal') = (reverses_id IS NOT NULL)
  AND (kind <> 'transfer' OR move_id IS NOT NULL)
  AND (loan IS NULL OR kind IN ('transfer', 'reversal'))
  AND (build_id IS NULL OR charged_to_id IS NULL)
  AND (task_id IS NULL OR build_id IS NOT NULL));
ALTER TABLE "stock_entry" ADD CONSTRAINT "stock_entry_why" CHECK (kind IN ('receipt', 'draw', 'return', 'transfer') OR why <> '');

CREATE TRIGGER stock_entry_only_added BEFORE UPDATE OR DELETE ON "stock_entry" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER stock_entry_not_emptied BEFORE TRUNCATE ON "stock_entry" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER stock_review_only_added BEFORE UPDATE OR DELETE ON "stock_review" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER settlement_entry_only_added BEFORE UPDATE OR DELETE ON "settlement_entry" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER settlement_line_only_added BEFORE UPDATE OR DELETE ON "settlement_line" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER settlement_only_added BEFORE UPDATE OR DELETE ON "settlement" FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER cost_rule_change_only_added BEFORE UPDATE OR DELETE ON "cost_rule_change" FOR EACH ROW EXECUTE FUNCTION refuse_change();

-- An entry moves the balances, for any client; a balance below nothing is refused.
ALTER TABLE "lot_balance" ADD CONSTRAINT "lot_balance_not_negative" CHECK (qty_milli >= 0);
ALTER TABLE "stock_account" ADD CONSTRAINT "stock_account_not_negative" CHECK (qty_milli >= 0);

CREATE FUNCTION stock_entry_books() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  other record;
  back bigint;
  -- A price correction of a draw, or the reversal of one, changes what is charged and nothing in stock.
  is_charge boolean := NEW.kind = 'price_correction' AND NEW.of_entry_id IS NOT NULL;
BEGIN
  IF NEW.kind = 'reversal' THEN
    SELECT kind, item_id, lot_id, holder_id, qty_milli, of_entry_id INTO other FROM stock_entry WHERE id = NEW.reverses_id;
    is_charge := other.kind = 'price_correction' AND other.of_entry_id IS NOT NULL;
  ELSIF NEW.of_entry_id IS NOT NULL THEN
    SELECT kind, item_id, lot_id, holder_id, qty_milli INTO other FROM stock_entry WHERE id = NEW.of_entry_id;
  END IF;
  -- The account first: its row lock puts all entries of one item and holder in booking order. (UPDATE before INSERT: a new row that would
  -- be negative is refused before a conflict is looked for.)
  UPDATE stock_account SET qty_milli = qty_milli + NEW.qty_milli, value_cents = value_cents + CASE WHEN is_charge THEN 0 ELSE NEW.value_cents END
    WHERE item_id = NEW.item_id AND holder_id = NEW.holder_id;
  IF NOT FOUND THEN
    INSERT INTO stock_account (item_id, holder_id, qty_milli, value_cents, layers)
      VALUES (NEW.item_id, NEW.holder_id, NEW.qty_milli, CASE WHEN is_charge THEN 0 ELSE NEW.value_cents END, '[]');
  END IF;
  IF NEW.qty_milli <> 0 THEN
    UPDATE lot_balance SET qty_milli = qty_milli + NEW.qty_milli WHERE lot_id = NEW.lot_id AND holder_id = NEW.holder_id;
    IF NOT FOUND THEN
      INSERT INTO lot_balance (lot_id, holder_id, qty_milli) VALUES (NEW.lot_id, NEW.holder_id, NEW.qty_milli);
    END IF;
  END IF;
  IF NEW.of_entry_id IS NOT NULL THEN
    IF NOT (other.kind = 'draw' OR (other.kind = 'write_off' AND NEW.kind = 'price_correction')) OR other.lot_id <> NEW.lot_id OR other.holder_id <> NEW.holder_id THEN
      RAISE EXCEPTION 'a return goes back to where its draw came from' USING ERRCODE = 'check_violation';
    END IF;
    IF EXISTS (SELECT FROM stock_entry WHERE reverses_id = NEW.of_entry_id) THEN
      RAISE EXCEPTION 'this draw was reversed' USING ERRCODE = 'check_violation';
    END IF;
    -- Returns that were reversed count no more.
    SELECT coalesce(sum(e.qty_milli), 0) INTO back FROM stock_entry e
      WHERE e.of_entry_id = NEW.of_entry_id AND NOT EXISTS (SELECT FROM stock_entry r WHERE r.reverses_id = e.id);
    IF back > -other.qty_milli THEN
      RAISE EXCEPTION 'more would come back than was drawn' USING ERRCODE = 'check_violation';
    END IF;
  ELSIF NEW.kind = 'reversal' THEN
    IF other.kind = 'reversal' OR other.lot_id <> NEW.lot_id OR other.holder_id <> NEW.holder_id THEN
      RAISE EXCEPTION 'a reversal undoes exactly one entry' USING ERRCODE = 'check_violation';
    END IF;
    back := 0;
    IF other.kind = 'draw' THEN
      -- What came back of it already stays where it is.
      SELECT coalesce(sum(e.qty_milli), 0) INTO back FROM stock_entry e
        WHERE e.of_entry_id = NEW.reverses_id AND NOT EXISTS (SELECT FROM stock_entry r WHERE r.reverses_id = e.id);
    ELSIF other.kind = 'return' AND EXISTS (SELECT FROM stock_entry WHERE reverses_id = other.of_entry_id) THEN
      RAISE EXCEPTION 'the draw of this return was reversed' USING ERRCODE = 'check_violation';
    END IF;
    IF NEW.qty_milli <> -other.qty_milli - back THEN
      RAISE EXCEPTION 'a reversal undoes exactly one entry' USING ERRCODE = 'check_violation';
    END IF;
  END IF;
  RETURN NULL;
END $$;
CREATE TRIGGER stock_entry_moves_balances AFTER INSERT ON "stock_entry" FOR EACH ROW EXECUTE FUNCTION stock_entry_books();

-- Balances are written by that trigger alone. The layers of an account are the service's; the account may be made empty.
CREATE FUNCTION balance_guard() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  IF pg_trigger_depth() = 1 THEN
    IF TG_TABLE_NAME = 'stock_account' AND TG_OP = 'INSERT' THEN
      IF NEW.qty_milli = 0 AND NEW.value_cents = 0 THEN RETURN NEW; END IF;
    ELSIF TG_TABLE_NAME = 'stock_account' AND TG_OP = 'UPDATE' THEN
      IF NEW.item_id = OLD.item_id AND NEW.holder_id = OLD.holder_id AND NEW.qty_milli = OLD.qty_milli AND NEW.value_cents = OLD.value_cents THEN RETURN NEW; END IF;
    END IF;
    RAISE EXCEPTION 'balances follow from ledger entries: book an entry instead' USING ERRCODE = 'restrict_violation';
  END IF;
  RETURN NEW;
END $$;
CREATE TRIGGER stock_account_guard BEFORE INSERT OR UPDATE OR DELETE ON "stock_account" FOR EACH ROW EXECUTE FUNCTION balance_guard();
CREATE TRIGGER lot_balance_guard BEFORE INSERT OR UPDATE OR DELETE ON "lot_balance" FOR EACH ROW EXECUTE FUNCTION balance_guard();
CREATE TRIGGER stock_account_not_emptied BEFORE TRUNCATE ON "stock_account" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER lot_balance_not_emptied BEFORE TRUNCATE ON "lot_balance" FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- At the commit: no value without stock, none below nothing, and the layers add up to both.
CREATE FUNCTION stock_account_sound() RETURNS trigger LANGUAGE plpgsql AS $$
DECLARE
  a record;
  q bigint;
  v bigint;
BEGIN
  SELECT qty_milli, value_cents, layers INTO a FROM stock_account WHERE item_id = NEW.item_id AND holder_id = NEW.holder_id;
  IF a.value_cents < 0 OR (a.qty_milli = 0 AND a.value_cents <> 0) THEN
    RAISE EXCEPTION 'stock_account: value % does not fit quantity %', a.value_cents, a.qty_milli USING ERRCODE = 'check_violation';
  END IF;
  SELECT coalesce(sum((x->>'q')::bigint), 0), coalesce(sum((x->>'v')::bigint), 0) INTO q, v FROM jsonb_array_elements(a.layers) x;
  IF q <> a.qty_milli OR v <> a.value_cents THEN
    RAISE EXCEPTION 'stock_account: layers (% for %) do not add up to the balance (% for %)', q, v, a.qty_milli, a.value_cents USING ERRCODE = 'check_violation';
  END IF;
  RETURN NULL;
END $$;
CREATE CONSTRAINT TRIGGER stock_account_adds_up AFTER INSERT OR UPDATE ON "stock_account" DEFERRABLE INITIALLY DEFERRED
  FOR EACH ROW EXECUTE FUNCTION stock_account_sound();
