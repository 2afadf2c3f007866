import { defineConfig } from 'prisma/config'

// The client needs no engine; migrations are SQL that the service applies itself (src/platform/migrate.ts).
export default defineConfig({
  schema: 'schema.prisma',
  migrations: { path: 'migrations' },
  datasource: { url: process.env['DATABASE_URL'] ?? 'postgresql://localhost/garboard' },
})
