import "@fontsource-variable/source-sans-3/wght.css";
import "./styles/paper.css";
import "./styles/head.css";
import "./styles/cases.css";
import "./styles/repair.css";
import "./styles/map.css";
import "./styles/results.css";
import "./styles/trust.css";
import "./styles/access.css";
import "./styles/judgement.css";
import { openCaseFiles } from "./caselist";
import { Repair } from "./repair";
import { walkThread } from "./thread";

const { place, case: key } = document.body.dataset;
walkThread();
if (place === "cases") openCaseFiles();
if (place === "repair" && key) new Repair(key);
if (place === "access" && key) void import("./access").then(({ Access }) => new Access(key));
