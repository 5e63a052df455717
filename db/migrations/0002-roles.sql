-- Receiving stations and administrators; and the post that a person holds in the plan.
alter table person drop constraint person_role_check;
alter table person add constraint person_role_check
  check (role in ('desk', 'rover', 'supervisor', 'receiving', 'admin'));
-- A rover's code, or the code of a receiving station's place.
alter table person add column post text;
