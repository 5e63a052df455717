-- A plan can be kept without its day being opened: `opened_at` says when somebody opened it, or first practised it.
alter table day alter column opened_at drop not null;
