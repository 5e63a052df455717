-- Instants are milliseconds since the epoch: day time in head, entry and refused; wall time elsewhere.

create table plan (
  hash text primary key,
  json text not null,
  imported_at bigint not null
);

create table day (
  id text primary key,
  county text not null,
  name text not null,
  kind text not null check (kind in ('election', 'practice')),
  date date not null,
  time_zone text not null,
  plan_hash text not null references plan (hash),
  opened_at bigint not null,
  closed_at bigint,
  speed double precision not null default 1 check (speed > 0),
  -- Where the practice clock stood when it was last saved.
  clock_at bigint,
  seed bigint
);

-- One row a day: the lock under which everything is appended. `revision` counts commits, so that a writer
-- knows whether another node wrote since its own last commit (also where only refused reports were written).
create table head (
  day text primary key references day (id),
  position bigint not null default 0,
  hash text not null default repeat('0', 64),
  recorded_at bigint not null default 0,
  revision bigint not null default 0
);

-- `text` is exactly what was hashed; the other columns repeat parts of it for the indexes. No reference to head:
-- it would be checked once a row, and whoever appends holds the lock on the head anyway.
create table entry (
  day text not null,
  position bigint not null check (position >= 1),
  source text not null,
  number bigint,
  -- Fingerprint of what a device sent; null where nothing was sent.
  content bigint,
  precinct text,
  recorded_at bigint not null,
  text text not null,
  hash text not null,
  primary key (day, position)
);
-- Once a day, source and number. What differs most stands first: comparing equal days costs a third of an insert.
create unique index entry_number on entry (source, number, day) where number is not null;
create index entry_precinct on entry (precinct, position, day) where precinct is not null;

-- Words that may have to be taken back. The entry holds SHA-256(salt + "\n" + words). Erased: both null.
create table detail (
  day text not null,
  position bigint not null,
  salt text,
  words text,
  primary key (day, position),
  check ((salt is null) = (words is null))
);

-- What a device sent and the log did not take, with the reason. `aside`: its number was used with other content.
create table refused (
  day text not null references head (day),
  source text not null,
  number bigint not null,
  content bigint not null,
  received_at bigint not null,
  sent text not null,
  problems text not null,
  aside boolean not null,
  primary key (day, source, number, content)
);

create table device (
  id text primary key,
  day text not null references day (id),
  precinct text not null,
  key_hash text not null unique,
  label text not null,
  enrolled_at bigint not null,
  revoked_at bigint
);
create index device_day on device (day, enrolled_at);

create table enrol_code (
  hash text primary key,
  day text not null references day (id),
  precinct text not null,
  issued_at bigint not null,
  used_at bigint
);

create table person (
  id text primary key,
  name text not null,
  role text not null check (role in ('desk', 'rover', 'supervisor'))
);

create table sign_in_link (
  hash text primary key,
  person text not null references person (id) on delete cascade,
  expires_at bigint not null,
  used_at bigint
);

create table session (
  hash text primary key,
  person text not null references person (id) on delete cascade,
  expires_at bigint not null
);
create index session_expires on session (expires_at);

create table api_token (
  hash text primary key,
  person text not null references person (id) on delete cascade,
  made_at bigint not null
);

-- The log is append-only for everybody, its owner included, and a detail can only be erased.
create function refuse_change() returns trigger language plpgsql as $$
begin
  raise exception 'the day log is append-only: % on % is refused', tg_op, tg_table_name
    using errcode = 'restrict_violation';
end
$$;
create trigger entry_append_only before update or delete on entry
  for each row execute function refuse_change();
create trigger entry_no_truncate before truncate on entry
  for each statement execute function refuse_change();
create trigger refused_append_only before update or delete on refused
  for each row execute function refuse_change();
create trigger refused_no_truncate before truncate on refused
  for each statement execute function refuse_change();

create function refuse_unless_erased() returns trigger language plpgsql as $$
begin
  if tg_op = 'UPDATE' and new.day = old.day and new.position = old.position
     and new.words is null and new.salt is null then
    return new;
  end if;
  raise exception 'a detail can be erased and nothing else: % is refused', tg_op
    using errcode = 'restrict_violation';
end
$$;
create trigger detail_erase_only before update or delete on detail
  for each row execute function refuse_unless_erased();
create trigger detail_no_truncate before truncate on detail
  for each statement execute function refuse_change();

-- The role that the program runs as: it can't switch a trigger off.
grant select, insert on plan, entry, refused to sunup_app;
grant select, insert, update on day, head, detail, device, enrol_code to sunup_app;
grant select, insert, update, delete on person, sign_in_link, session, api_token to sunup_app;
