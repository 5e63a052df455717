-- Who changed what about people and programs. `by` is a person's id, `cli` for the sunup command, `sunup` for Sunup
-- itself (the demo's people, and the end of tokens below). `about` is the id of a person or of a token. `what` is
-- small and holds no name, e-mail, password, link or token, nor a hash of one. Positions begin at 1 and have no
-- gaps: a record is written by the statement that makes the change, so that both are there or neither.
create table people_log (
  position bigint primary key check (position >= 1),
  at bigint not null,
  by text not null check (by <> ''),
  kind text not null check (kind in (
    'PersonInvited', 'PersonAdded', 'PersonChanged', 'PersonSwitchedOff', 'PersonSwitchedOn',
    'LinkMade', 'PasswordSet', 'TokenMade', 'TokenEnded'
  )),
  about text not null check (about <> ''),
  what jsonb not null check (jsonb_typeof(what) = 'object')
);

-- A record that comes with its position (out of a backup) keeps it. The lock is held until the transaction ends; the
-- next writer then reads what this one wrote.
create function number_people_log() returns trigger language plpgsql as $$
begin
  if new.position is null then
    perform pg_advisory_xact_lock(123580963646565);
    select coalesce(max(position), 0) + 1 into new.position from people_log;
  end if;
  return new;
end
$$;
create trigger people_log_number before insert on people_log
  for each row execute function number_people_log();

create function refuse_people_log_change() returns trigger language plpgsql as $$
begin
  raise exception 'the record of changes about people is append-only: % is refused', tg_op
    using errcode = 'restrict_violation';
end
$$;
create trigger people_log_append_only before update or delete on people_log
  for each row execute function refuse_people_log_change();
create trigger people_log_no_truncate before truncate on people_log
  for each statement execute function refuse_people_log_change();

grant select, insert on people_log to sunup_app;

-- No token acts as an administrator: it has no end, and could make accounts. Those that there are end here.
with gone as (
  update api_token t set ended_at = (extract(epoch from now()) * 1000)::bigint
  from person p where p.id = t.person and p.role = 'admin' and t.ended_at is null
  returning t.id, t.person, t.ended_at
), counted as (
  update person p set ended = p.ended + 1 where p.id in (select person from gone)
)
insert into people_log (at, by, kind, about, what)
select ended_at, 'sunup', 'TokenEnded', id, '{"role": "admin"}' from gone order by id;
