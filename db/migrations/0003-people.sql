-- People with a sign-in name and a password, in the tables of better-auth: person is its user, credential its
-- account, session its session. What it wants and we have no use for stands at its standard value.

-- `ended` counts how often this person's sessions or post were ended or changed: every process watches it, so that
-- open sockets are closed by all of them. A program is the bearer of a token with a role of its own.
alter table person
  add column email text check (email = lower(email)),
  add column email_verified boolean not null default false,
  add column image text,
  add column kind text not null default 'person' check (kind in ('person', 'program')),
  add column off_at bigint,
  add column ended bigint not null default 0,
  add column made_at bigint not null default 0,
  add column changed_at bigint not null default 0;
create unique index person_email on person (email);

-- One row a person who has set a password: `password` is salt and scrypt, never the password.
create table credential (
  id text primary key,
  person text not null references person (id) on delete cascade,
  provider text not null,
  account text not null,
  password text,
  made_at bigint not null,
  changed_at bigint not null,
  unique (person, provider)
);

-- Sessions begin anew: their rows have another form. `hash` is the SHA-256 of the cookie's secret.
drop table session;
create table session (
  id text primary key,
  hash text not null unique,
  person text not null references person (id) on delete cascade,
  expires_at bigint not null,
  made_at bigint not null,
  changed_at bigint not null,
  address text,
  agent text
);
create index session_expires on session (expires_at);
create index session_person on session (person);

-- A link either signs in, or lets its person set a password and then signs in.
alter table sign_in_link
  add column purpose text not null default 'sign-in' check (purpose in ('sign-in', 'password'));

-- A browser in which somebody has signed in before: a stranger who guesses at that person's password from
-- elsewhere doesn't slow it down.
create table known_browser (
  hash text primary key,
  person text not null references person (id) on delete cascade,
  until bigint not null
);
create index known_browser_until on known_browser (until);

alter table api_token add column id text, add column label text, add column used_at bigint, add column ended_at bigint;
update api_token t set id = 'token-' || left(t.hash, 16), label = (select p.name from person p where p.id = t.person);
alter table api_token alter column id set not null, alter column label set not null, add unique (id);

grant select, insert, update, delete on credential, session, known_browser to sunup_app;
