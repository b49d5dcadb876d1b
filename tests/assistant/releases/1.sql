-- A database as the code of release 1 left it (SQLite's own dump): one change of each kind, one undone, two made together.
BEGIN TRANSACTION;
CREATE TABLE changed_together (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	token VARCHAR(40) NOT NULL, 
	part VARCHAR(40) NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (part)
);
INSERT INTO "changed_together" VALUES(1,'house','3b160096c45948f49253d30339bf49f7','1bb48fbee91d4bbca1f636d7c761e6dd');
INSERT INTO "changed_together" VALUES(2,'house','3b160096c45948f49253d30339bf49f7','ef20bb9e0f6e4908b8737cff942876a8');
CREATE TABLE floor_test (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	trainee VARCHAR(200) NOT NULL, 
	title VARCHAR(200) NOT NULL, 
	points INTEGER NOT NULL, 
	out_of INTEGER NOT NULL, 
	passed INTEGER NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "floor_test" VALUES(1,'house','629de0ee1eab43728efdea82ab1ed931','Ana','Classics',33,40,1);
CREATE TABLE kept_drink (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	document TEXT NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "kept_drink" VALUES(1,'house','Harbour Gimlet','{"name":"Harbour Gimlet","shelf":"fogbell","pours":[{"ingredient":"aged rum","number":"2","unit":"oz","role":"base","note":""},{"ingredient":"lime cordial","number":"0.75","unit":"oz","role":"sweetener","note":"well chilled"}],"method":"shaken","glass":"coupe","ice":"none","garnish":["lime wheel"],"steps":["Shake with ice.","Strain."],"spoken":[],"sounds_like":[],"price":"13.50","family":null,"first_print":"","source":"","note":"","taste":""}');
CREATE TABLE out_of_stock (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "out_of_stock" VALUES(1,'house','mint');
CREATE TABLE pack_price (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	price VARCHAR(40) NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "pack_price" VALUES(1,'house','lime juice','0.60');
INSERT INTO "pack_price" VALUES(2,'house','gin','30');
INSERT INTO "pack_price" VALUES(3,'house','aged rum','31.50');
CREATE TABLE quiz_mark (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	trainee VARCHAR(200) NOT NULL, 
	drink VARCHAR(200) NOT NULL, 
	kind VARCHAR(200) NOT NULL, 
	points INTEGER NOT NULL, 
	out_of INTEGER NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "quiz_mark" VALUES(1,'house','6a9f150c7e274522bc3425b37e6f40d6','Ana','Gimlet','build',5,6);
CREATE TABLE sold (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	count INTEGER NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "sold" VALUES(1,'house','Gimlet',41);
CREATE TABLE supplier_name (
	number INTEGER NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	ingredients TEXT NOT NULL, 
	PRIMARY KEY (number), 
	UNIQUE (venue, name)
);
INSERT INTO "supplier_name" VALUES(1,'house','limes, box','lime juice
lime wheel');
CREATE TABLE trail (
	number INTEGER NOT NULL, 
	token VARCHAR(40) NOT NULL, 
	venue VARCHAR(80) NOT NULL, 
	at VARCHAR(40) NOT NULL, 
	who VARCHAR(200) NOT NULL, 
	kind VARCHAR(20) NOT NULL, 
	name VARCHAR(200) NOT NULL, 
	"before" JSON, 
	"after" JSON, 
	undoes VARCHAR(40), 
	PRIMARY KEY (number), 
	UNIQUE (token), 
	UNIQUE (undoes)
);
INSERT INTO "trail" VALUES(1,'9d9ef15224944b11836128722442eb2f','house','2024-03-01T17:01:00+00:00','Ana','out','orgeat',NULL,'{"name": "orgeat"}',NULL);
INSERT INTO "trail" VALUES(2,'01850de1bdbd4a6b95eddd2f38bd5539','house','2024-03-01T17:02:00+00:00','Ana','price','lime juice',NULL,'{"name": "lime juice", "price": "0.60"}',NULL);
INSERT INTO "trail" VALUES(3,'05291f3bfbc54eb2b27362dc8eb0f2e0','house','2024-03-01T17:03:00+00:00','Ana','drink','Harbour Gimlet',NULL,'{"name": "Harbour Gimlet", "document": "{\"name\":\"Harbour Gimlet\",\"shelf\":\"fogbell\",\"pours\":[{\"ingredient\":\"aged rum\",\"number\":\"2\",\"unit\":\"oz\",\"role\":\"base\",\"note\":\"\"},{\"ingredient\":\"lime cordial\",\"number\":\"0.75\",\"unit\":\"oz\",\"role\":\"sweetener\",\"note\":\"well chilled\"}],\"method\":\"shaken\",\"glass\":\"coupe\",\"ice\":\"none\",\"garnish\":[\"lime wheel\"],\"steps\":[\"Shake with ice.\",\"Strain.\"],\"spoken\":[],\"sounds_like\":[],\"price\":\"13.50\",\"family\":null,\"first_print\":\"\",\"source\":\"\",\"note\":\"\",\"taste\":\"\"}"}',NULL);
INSERT INTO "trail" VALUES(4,'6a9f150c7e274522bc3425b37e6f40d6','house','2024-03-01T17:04:00+00:00','Ana','mark','6a9f150c7e274522bc3425b37e6f40d6',NULL,'{"name": "6a9f150c7e274522bc3425b37e6f40d6", "trainee": "Ana", "drink": "Gimlet", "kind": "build", "points": 5, "out_of": 6}',NULL);
INSERT INTO "trail" VALUES(5,'629de0ee1eab43728efdea82ab1ed931','house','2024-03-01T17:05:00+00:00','Ana','test','629de0ee1eab43728efdea82ab1ed931',NULL,'{"name": "629de0ee1eab43728efdea82ab1ed931", "trainee": "Ana", "title": "Classics", "points": 33, "out_of": 40, "passed": 1}',NULL);
INSERT INTO "trail" VALUES(6,'b30b56afc58c45a29a6702971f656bb1','house','2024-03-01T17:06:00+00:00','Ana','supplied','limes, box',NULL,'{"name": "limes, box", "ingredients": "lime juice\nlime wheel"}',NULL);
INSERT INTO "trail" VALUES(7,'ca2ab7a680a244bca09f4e94f1cd2707','house','2024-03-01T17:07:00+00:00','Ana','sold','Gimlet',NULL,'{"name": "Gimlet", "count": 41}',NULL);
INSERT INTO "trail" VALUES(8,'529c829e22ec41ce99b273b1db9df270','house','2024-03-01T17:08:00+00:00','Bo','out','orgeat','{"name": "orgeat"}',NULL,'9d9ef15224944b11836128722442eb2f');
INSERT INTO "trail" VALUES(9,'6a290d3e19684dcc9c72d3976c89d2e0','house','2024-03-01T17:09:00+00:00','Bo','out','mint',NULL,'{"name": "mint"}',NULL);
INSERT INTO "trail" VALUES(10,'1bb48fbee91d4bbca1f636d7c761e6dd','house','2024-03-01T17:10:00+00:00','Ana','price','gin',NULL,'{"name": "gin", "price": "30"}',NULL);
INSERT INTO "trail" VALUES(11,'ef20bb9e0f6e4908b8737cff942876a8','house','2024-03-01T17:11:00+00:00','Ana','price','aged rum',NULL,'{"name": "aged rum", "price": "31.50"}',NULL);
CREATE INDEX ix_changed_together_token ON changed_together (token);
COMMIT;
