-- A new tablet may take the place of another: its code names the one, and what the other says from then on is kept
-- aside until the desk accepts it.
alter table enrol_code add column replaces text references device (id);
alter table device add column replaced_at bigint;
-- What an entry of a report kept aside will say of its times, by the formula of when it was received (Dated in
-- domain/log/aside.ts) as JSON; null: it can't be an entry, or was received before this column was there.
alter table refused add column dated text;
