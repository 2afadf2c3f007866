-- What all instances must know and no table of the club is about: the set-up code until the club is set up.
CREATE TABLE "secret" (
    "name" TEXT NOT NULL,
    "value" TEXT NOT NULL,

    CONSTRAINT "secret_pkey" PRIMARY KEY ("name")
);
