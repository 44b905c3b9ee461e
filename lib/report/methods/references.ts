/**
 * Every work that a method of this project rests on, as it stands in a reference list. The key is
 * first author and year.
 */
export const references = {
  "aalen-1978":
    "Aalen OO, Johansen S. An empirical transition matrix for non-homogeneous Markov chains based on censored observations. Scand J Stat 1978;5:141-150.",
  "akins-2008":
    "Akins CW, Miller DC, Turina MI, et al. Guidelines for reporting mortality and morbidity after cardiac valve interventions. J Thorac Cardiovasc Surg 2008;135:732-738.",
  "altman-2003":
    "Altman DG, Bland JM. Interaction revisited: the difference between two estimates. BMJ 2003;326:219.",
  "andersen-2003":
    "Andersen PK, Klein JP, Rosthøj S. Generalised linear models for correlated pseudo-observations, with applications to multi-state models. Biometrika 2003;90:15-27.",
  "anderson-1983":
    "Anderson JR, Cain KC, Gelber RD. Analysis of survival by tumor response. J Clin Oncol 1983;1:710-719.",
  "austin-2009":
    "Austin PC. Balance diagnostics for comparing the distribution of baseline covariates between treatment groups in propensity-score matched samples. Stat Med 2009;28:3083-3107.",
  "austin-2011a":
    "Austin PC. An introduction to propensity score methods for reducing the effects of confounding in observational studies. Multivariate Behav Res 2011;46:399-424.",
  "austin-2011b":
    "Austin PC. Optimal caliper widths for propensity-score matching when estimating differences in means and differences in proportions in observational studies. Pharm Stat 2011;10:150-161.",
  "austin-2014":
    "Austin PC, Small DS. The use of bootstrapping when using propensity-score matching without replacement: a simulation study. Stat Med 2014;33:4306-4319.",
  "austin-2015":
    "Austin PC, Stuart EA. Moving towards best practice when using inverse probability of treatment weighting (IPTW) using the propensity score to estimate causal treatment effects in observational studies. Stat Med 2015;34:3661-3679.",
  "austin-2016":
    "Austin PC. Variance estimation when using inverse probability of treatment weighting (IPTW) with survival analysis. Stat Med 2016;35:5642-5655.",
  "bai-2013":
    "Bai X, Tsiatis AA, O'Brien SM. Doubly-robust estimators of treatment-specific survival distributions in observational studies with stratified sampling. Biometrics 2013;69:830-839.",
  "barnard-1999":
    "Barnard J, Rubin DB. Small-sample degrees of freedom with multiple imputation. Biometrika 1999;86:948-955.",
  "bell-2002":
    "Bell RM, McCaffrey DF. Bias reduction in standard errors for linear regression with multi-stage samples. Surv Methodol 2002;28:169-181.",
  "bickel-1997":
    "Bickel PJ, Götze F, van Zwet WR. Resampling fewer than n observations: gains, losses, and remedies for losses. Stat Sinica 1997;7:1-31.",
  "blanche-2013":
    "Blanche P, Dartigues JF, Jacqmin-Gadda H. Estimating and comparing time-dependent areas under receiver operating characteristic curves for censored event times with competing risks. Stat Med 2013;32:5381-5397.",
  "breslow-1987":
    "Breslow NE, Day NE. Statistical Methods in Cancer Research, vol. II: The Design and Analysis of Cohort Studies. Lyon: IARC; 1987.",
  "brook-1972":
    "Brook D, Evans DA. An approach to the probability distribution of cusum run length. Biometrika 1972;59:539-549.",
  "brookhart-2007":
    "Brookhart MA, Schneeweiss S. Preference-based instrumental variable methods for the estimation of treatment effects: assessing validity and interpreting results. Int J Biostat 2007;3:14.",
  "cessie-1992":
    "le Cessie S, van Houwelingen JC. Ridge estimators in logistic regression. Appl Stat 1992;41:191-201.",
  "chung-2013":
    "Chung E, Romano JP. Exact and asymptotically robust permutation tests. Ann Stat 2013;41:484-507.",
  "clark-2002":
    "Clark TG, Altman DG, De Stavola BL. Quantification of the completeness of follow-up. Lancet 2002;359:1309-1310.",
  "clopper-1934":
    "Clopper CJ, Pearson ES. The use of confidence or fiducial limits illustrated in the case of the binomial. Biometrika 1934;26:404-413.",
  "cochran-1954":
    "Cochran WG. The combination of estimates from different experiments. Biometrics 1954;10:101-129.",
  "cole-2008":
    "Cole SR, Hernan MA. Constructing inverse probability weights for marginal structural models. Am J Epidemiol 2008;168:656-664.",
  "cox-1958":
    "Cox DR. Two further applications of a model for binary regression. Biometrika 1958;45:562-565.",
  "cox-1972": "Cox DR. Regression models and life-tables. J R Stat Soc B 1972;34:187-220.",
  "cox-1987":
    "Cox DR, Reid N. Parameter orthogonality and approximate conditional inference. J R Stat Soc B 1987;49:1-39.",
  "cro-2020":
    "Cro S, Morris TP, Kenward MG, Carpenter JR. Sensitivity analysis for clinical trials with missing continuous outcome data using controlled multiple imputation: a practical guide. Stat Med 2020;39:2815-2842.",
  "crump-2009":
    "Crump RK, Hotz VJ, Imbens GW, Mitnik OA. Dealing with limited overlap in estimation of average treatment effects. Biometrika 2009;96:187-199.",
  "datta-2001":
    "Datta S, Satten GA. Validity of the Aalen-Johansen estimators of stage occupation probabilities and Nelson-Aalen estimators of integrated transition hazards for non-Markov models. Stat Probab Lett 2001;55:403-411.",
  "delong-1988":
    "DeLong ER, DeLong DM, Clarke-Pearson DL. Comparing the areas under two or more correlated receiver operating characteristic curves: a nonparametric approach. Biometrics 1988;44:837-845.",
  "deville-1992":
    "Deville JC, Särndal CE. Calibration estimators in survey sampling. J Am Stat Assoc 1992;87:376-382.",
  "durrleman-1989":
    "Durrleman S, Simon R. Flexible regression models with cubic splines. Stat Med 1989;8:551-561.",
  "ederer-1961":
    "Ederer F, Axtell LM, Cutler SJ. The relative survival rate: a statistical methodology. Natl Cancer Inst Monogr 1961;6:101-121.",
  "eekhout-2017":
    "Eekhout I, van de Wiel MA, Heymans MW. Methods for significance testing of categorical covariates in logistic regression models after multiple imputation: power and applicability analysis. BMC Med Res Methodol 2017;17:129.",
  "efron-1977":
    "Efron B. The efficiency of Cox's likelihood function for censored data. J Am Stat Assoc 1977;72:557-565.",
  "efron-1981": "Efron B. Censored data and the bootstrap. J Am Stat Assoc 1981;76:312-319.",
  "efron-1987": "Efron B. Better bootstrap confidence intervals. J Am Stat Assoc 1987;82:171-185.",
  "efron-1993":
    "Efron B, Tibshirani RJ. An Introduction to the Bootstrap. New York: Chapman & Hall; 1993.",
  "fan-1962":
    "Fan CT, Muller ME, Rezucha I. Development of sampling plans by using sequential (item by item) selection techniques and digital computers. J Am Stat Assoc 1962;57:387-402.",
  "fine-1999":
    "Fine JP, Gray RJ. A proportional hazards model for the subdistribution of a competing risk. J Am Stat Assoc 1999;94:496-509.",
  "fisher-1935": "Fisher RA. The logic of inductive inference. J R Stat Soc 1935;98:39-82.",
  "frydman-2009":
    "Frydman H, Szarek M. Nonparametric estimation in a Markov illness-death process from interval censored observations with missing intermediate transition status. Biometrics 2009;65:143-151.",
  "garwood-1936":
    "Garwood F. Fiducial limits for the Poisson distribution. Biometrika 1936;28:437-442.",
  "gelman-1992":
    "Gelman A, Rubin DB. Inference from iterative simulation using multiple sequences. Stat Sci 1992;7:457-472.",
  "gerds-2014":
    "Gerds TA, Andersen PK, Kattan MW. Calibration plots for risk prediction models in the presence of competing risks. Stat Med 2014;33:3191-3203.",
  "gooley-1999":
    "Gooley TA, Leisenring W, Crowley J, Storer BE. Estimation of failure probabilities in the presence of competing risks: new representations of old estimators. Stat Med 1999;18:695-706.",
  "graf-1999":
    "Graf E, Schmoor C, Sauerbrei W, Schumacher M. Assessment and comparison of prognostic classification schemes for survival data. Stat Med 1999;18:2529-2545.",
  "grambsch-1994":
    "Grambsch PM, Therneau TM. Proportional hazards tests and diagnostics based on weighted residuals. Biometrika 1994;81:515-526.",
  "gray-1988":
    "Gray RJ. A class of K-sample tests for comparing the cumulative incidence of a competing risk. Ann Stat 1988;16:1141-1154.",
  "groenwold-2012":
    "Groenwold RHH, White IR, Donders ART, et al. Missing covariate data in clinical research: when and when not to use the missing-indicator method for analysis. CMAJ 2012;184:1265-1269.",
  "hainmueller-2012":
    "Hainmueller J. Entropy balancing for causal effects: a multivariate reweighting method to produce balanced samples in observational studies. Polit Anal 2012;20:25-46.",
  "hansen-1996":
    "Hansen BE. Inference when a nuisance parameter is not identified under the null hypothesis. Econometrica 1996;64:413-430.",
  "hansen-2017":
    "Hansen BE. Regression kink with an unknown threshold. J Bus Econ Stat 2017;35:228-240.",
  "harrell-1996":
    "Harrell FE, Lee KL, Mark DB. Multivariable prognostic models: issues in developing models, evaluating assumptions and adequacy, and measuring and reducing errors. Stat Med 1996;15:361-387.",
  "harrington-1982":
    "Harrington DP, Fleming TR. A class of rank test procedures for censored survival data. Biometrika 1982;69:553-566.",
  "hippel-2020":
    "von Hippel PT. How many imputations do you need? A two-stage calculation using a quadratic rule. Sociol Methods Res 2020;49:699-718.",
  "hosman-2010":
    "Hosman CA, Hansen BB, Holland PW. The sensitivity of linear regression coefficients' confidence limits to the omission of a confounder. Ann Appl Stat 2010;4:849-870.",
  "hothorn-2008":
    "Hothorn T, Bretz F, Westfall P. Simultaneous inference in general parametric models. Biom J 2008;50:346-363.",
  "hudgens-2001":
    "Hudgens MG, Satten GA, Longini IM. Nonparametric maximum likelihood estimation for competing risks survival data subject to interval censoring and truncation. Biometrics 2001;57:74-80.",
  "imbens-2000":
    "Imbens GW. The role of the propensity score in estimating dose-response functions. Biometrika 2000;87:706-710.",
  "imbens-2016":
    "Imbens GW, Kolesár M. Robust standard errors in small samples: some practical advice. Rev Econ Stat 2016;98:701-712.",
  "kaplan-1958":
    "Kaplan EL, Meier P. Nonparametric estimation from incomplete observations. J Am Stat Assoc 1958;53:457-481.",
  "kish-1965": "Kish L. Survey Sampling. New York: Wiley; 1965.",
  "klein-2007":
    "Klein JP, Logan B, Harhoff M, Andersen PK. Analyzing survival curves at a fixed point in time. Stat Med 2007;26:4505-4519.",
  "korn-1998":
    "Korn EL, Graubard BI. Confidence intervals for proportions with small expected number of positive counts estimated from survey data. Surv Methodol 1998;24:193-201.",
  "lancaster-1961":
    "Lancaster HO. Significance tests in discrete distributions. J Am Stat Assoc 1961;56:223-234.",
  "lash-2009":
    "Lash TL, Fox MP, Fink AK. Applying Quantitative Bias Analysis to Epidemiologic Data. New York: Springer; 2009.",
  "latouche-2013":
    "Latouche A, Allignol A, Beyersmann J, Labopin M, Fine JP. A competing risks analysis should report results on all cause-specific hazards and cumulative incidence functions. J Clin Epidemiol 2013;66:648-653.",
  "lee-1996":
    "Lee JW. Some versatile tests based on the simultaneous use of weighted log-rank statistics. Biometrics 1996;52:721-725.",
  "leyrat-2019":
    "Leyrat C, Seaman SR, White IR, et al. Propensity score analysis with partially observed covariates: how should multiple imputation be used? Stat Methods Med Res 2019;28:3-19.",
  "li-2018":
    "Li F, Morgan KL, Zaslavsky AM. Balancing covariates via propensity score weighting. J Am Stat Assoc 2018;113:390-400.",
  "li-2019":
    "Li F, Li F. Propensity score weighting for causal inference with multiple treatments. Ann Appl Stat 2019;13:2389-2415.",
  "lin-1989":
    "Lin DY, Wei LJ. The robust inference for the Cox proportional hazards model. J Am Stat Assoc 1989;84:1074-1078.",
  "lin-2004":
    "Lin H, Scharfstein DO, Rosenheck RA. Analysis of longitudinal data with irregular, outcome-dependent follow-up. J R Stat Soc B 2004;66:791-813.",
  "lipsitch-2010":
    "Lipsitch M, Tchetgen Tchetgen E, Cohen T. Negative controls: a tool for detecting confounding and bias in observational studies. Epidemiology 2010;21:383-388.",
  "liu-1994": "Liu Q, Pierce DA. A note on Gauss-Hermite quadrature. Biometrika 1994;81:624-629.",
  "lorenz-1905":
    "Lorenz MO. Methods of measuring the concentration of wealth. Publ Am Stat Assoc 1905;9:209-219.",
  "lovegrove-1997":
    "Lovegrove J, Valencia O, Treasure T, Sherlaw-Johnson C, Gallivan S. Monitoring the results of cardiac surgery by variable life-adjusted display. Lancet 1997;350:1128-1130.",
  "mann-1947":
    "Mann HB, Whitney DR. On a test of whether one of two random variables is stochastically larger than the other. Ann Math Stat 1947;18:50-60.",
  "mantel-1966":
    "Mantel N. Evaluation of survival data and two new rank order statistics arising in its consideration. Cancer Chemother Rep 1966;50:163-170.",
  "mccullagh-1980":
    "McCullagh P. Regression models for ordinal data. J R Stat Soc B 1980;42:109-142.",
  "mccullagh-1989":
    "McCullagh P, Nelder JA. Generalized Linear Models. 2nd ed. London: Chapman & Hall; 1989.",
  "mcnemar-1947":
    "McNemar Q. Note on the sampling error of the difference between correlated proportions or percentages. Psychometrika 1947;12:153-157.",
  "morris-1983":
    "Morris CN. Parametric empirical Bayes inference: theory and applications. J Am Stat Assoc 1983;78:47-55.",
  "neuhaus-1998":
    "Neuhaus JM, Kalbfleisch JD. Between- and within-cluster covariate effects in the analysis of clustered data. Biometrics 1998;54:638-645.",
  "newcombe-1998":
    "Newcombe RG. Improved confidence intervals for the difference between binomial proportions based on paired data. Stat Med 1998;17:2635-2650.",
  "owen-2019":
    "Owen AB, Maximov Y, Chertkov M. Importance sampling the union of rare events with an application to power systems analysis. Electron J Stat 2019;13:231-254.",
  "pearson-1900":
    "Pearson K. On the criterion that a given system of deviations from the probable in the case of a correlated system of variables is such that it can be reasonably supposed to have arisen from random sampling. Philos Mag 1900;50:157-175.",
  "pocock-2002":
    "Pocock SJ, Clayton TC, Altman DG. Survival plots of time-to-event outcomes in clinical trials: good practice and pitfalls. Lancet 2002;359:1686-1689.",
  "prentice-1978":
    "Prentice RL, Kalbfleisch JD, Peterson AV, et al. The analysis of failure times in the presence of competing risks. Biometrics 1978;34:541-554.",
  "robins-1986":
    "Robins J. A new approach to causal inference in mortality studies with a sustained exposure period. Math Modelling 1986;7:1393-1512.",
  "robins-2000":
    "Robins JM, Finkelstein DM. Correcting for noncompliance and dependent censoring in an AIDS clinical trial with inverse probability of censoring weighted (IPCW) log-rank tests. Biometrics 2000;56:779-788.",
  "rogan-1978":
    "Rogan WJ, Gladen B. Estimating prevalence from the results of a screening test. Am J Epidemiol 1978;107:71-76.",
  "rosenbaum-1983":
    "Rosenbaum PR, Rubin DB. The central role of the propensity score in observational studies for causal effects. Biometrika 1983;70:41-55.",
  "rosenbaum-2002": "Rosenbaum PR. Observational Studies. 2nd ed. New York: Springer; 2002.",
  "royston-2006":
    "Royston P, Altman DG, Sauerbrei W. Dichotomizing continuous predictors in multiple regression: a bad idea. Stat Med 2006;25:127-141.",
  "royston-2013":
    "Royston P, Parmar MKB. Restricted mean survival time: an alternative to the hazard ratio for the design and analysis of randomized trials with a time-to-event outcome. BMC Med Res Methodol 2013;13:152.",
  "rubin-1987": "Rubin DB. Multiple Imputation for Nonresponse in Surveys. New York: Wiley; 1987.",
  "rubin-2001":
    "Rubin DB. Using propensity scores to help design observational studies: application to the tobacco litigation. Health Serv Outcomes Res Methodol 2001;2:169-188.",
  "schemper-1996":
    "Schemper M, Smith TL. A note on quantifying follow-up in studies of failure time. Control Clin Trials 1996;17:343-346.",
  "schoenfeld-1982":
    "Schoenfeld D. Partial residuals for the proportional hazards regression model. Biometrika 1982;69:239-241.",
  "schoenfeld-1983":
    "Schoenfeld DA. Sample-size formula for the proportional-hazards regression model. Biometrics 1983;39:499-503.",
  "seaman-2013":
    "Seaman SR, White IR. Review of inverse probability weighting for dealing with missing data. Stat Methods Med Res 2013;22:278-295.",
  "seber-1989": "Seber GAF, Wild CJ. Nonlinear Regression. New York: Wiley; 1989.",
  "simonsohn-2020":
    "Simonsohn U, Simmons JP, Nelson LD. Specification curve analysis. Nat Hum Behav 2020;4:1208-1214.",
  "smirnov-1948":
    "Smirnov N. Table for estimating the goodness of fit of empirical distributions. Ann Math Stat 1948;19:279-281.",
  "spiegelhalter-2005":
    "Spiegelhalter DJ. Funnel plots for comparing institutional performance. Stat Med 2005;24:1185-1202.",
  "staiger-1997":
    "Staiger D, Stock JH. Instrumental variables regression with weak instruments. Econometrica 1997;65:557-586.",
  "steiner-2000":
    "Steiner SH, Cook RJ, Farewell VT, Treasure T. Monitoring surgical performance using risk-adjusted cumulative sum charts. Biostatistics 2000;1:441-452.",
  "steyerberg-2010":
    "Steyerberg EW, Vickers AJ, Cook NR, et al. Assessing the performance of prediction models: a framework for traditional and novel measures. Epidemiology 2010;21:128-138.",
  "stone-1974":
    "Stone M. Cross-validatory choice and assessment of statistical predictions. J R Stat Soc B 1974;36:111-147.",
  "sullivan-2004":
    "Sullivan LM, Massaro JM, D'Agostino RB. Presentation of multivariate data for clinical use: the Framingham Study risk score functions. Stat Med 2004;23:1631-1660.",
  "tarone-1981":
    "Tarone RE. On the distribution of the maximum of the logrank statistic and the modified Wilcoxon statistic. Biometrics 1981;37:79-85.",
  "therneau-1990":
    "Therneau TM, Grambsch PM, Fleming TR. Martingale-based residuals for survival models. Biometrika 1990;77:147-160.",
  "therneau-2000":
    "Therneau TM, Grambsch PM. Modeling Survival Data: Extending the Cox Model. New York: Springer; 2000.",
  "tribouilloy-2011":
    "Tribouilloy C, Rusinaru D, Szymanski C, et al. Predicting left ventricular dysfunction after valve repair for mitral regurgitation due to leaflet prolapse: additive value of left ventricular end-systolic dimension to ejection fraction. Eur J Echocardiogr 2011;12:702-710.",
  "turnbull-1976":
    "Turnbull BW. The empirical distribution function with arbitrarily grouped, censored and truncated data. J R Stat Soc B 1976;38:290-295.",
  "ulm-1990":
    "Ulm K. A simple method to calculate the confidence interval of a standardized mortality ratio (SMR). Am J Epidemiol 1990;131:373-375.",
  "vanderweele-2017":
    "VanderWeele TJ, Ding P. Sensitivity analysis in observational research: introducing the E-value. Ann Intern Med 2017;167:268-274.",
  "wagner-2002":
    "Wagner AK, Soumerai SB, Zhang F, Ross-Degnan D. Segmented regression analysis of interrupted time series studies in medication use research. J Clin Pharm Ther 2002;27:299-309.",
  "vickers-2006":
    "Vickers AJ, Elkin EB. Decision curve analysis: a novel method for evaluating prediction models. Med Decis Making 2006;26:565-574.",
  "welch-1947":
    "Welch BL. The generalization of 'Student's' problem when several different population variances are involved. Biometrika 1947;34:28-35.",
  "wellner-1997":
    "Wellner JA, Zhan Y. A hybrid algorithm for computation of the nonparametric maximum likelihood estimator from censored data. J Am Stat Assoc 1997;92:945-959.",
  "white-1980":
    "White H. A heteroskedasticity-consistent covariance matrix estimator and a direct test for heteroskedasticity. Econometrica 1980;48:817-838.",
  "white-2009":
    "White IR, Royston P. Imputing missing covariate values for the Cox model. Stat Med 2009;28:1982-1998.",
  "white-2011":
    "White IR, Royston P, Wood AM. Multiple imputation using chained equations: issues and guidance for practice. Stat Med 2011;30:377-399.",
  "wilson-1927":
    "Wilson EB. Probable inference, the law of succession, and statistical inference. J Am Stat Assoc 1927;22:209-212.",
  "yan-2009":
    "Yan X, Lee S, Li N. Missing data handling methods in medical device clinical trials. J Biopharm Stat 2009;19:1085-1098.",
  "yang-2012":
    "Yang D, Dalton JE. A unified approach to measuring the effect size between two groups. SAS Global Forum 2012, paper 335.",
  "zhang-2008":
    "Zhang MJ, Fine J. Summarizing differences in cumulative incidence functions. Stat Med 2008;27:4939-4949.",
  "zhou-2012":
    "Zhou B, Fine J, Latouche A, Labopin M. Competing risks regression for clustered data. Biostatistics 2012;13:371-383.",
  "zhou-2013":
    "Zhou B, Fine J, Laird G. Goodness-of-fit test for proportional subdistribution hazards model. Stat Med 2013;32:3804-3811.",
  "zou-2008":
    "Zou GY, Donner A. Construction of confidence intervals about effect measures: a general approach. Stat Med 2008;27:1693-1702.",
} as const;

/** A work of {@link references}. */
export type ReferenceKey = keyof typeof references;
